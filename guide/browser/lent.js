// Marks what scripts put on a page in another of the guide's languages than the page's, the twin of guide/press/foreign.py: its
// texts are found wherever they come to stand, so that no script has to know which text is whose.
// needs: data/lent

const WORD = /[\p{L}\p{N}_]+/gu;
const PLAIN = "script, style, title, textarea, kbd, code, [lang]:not(html)";

// Returns what cuts a text where some of `lent`, {text: [language, alone]}, stand in it as whole words, none over another: into
// [said, language], that being "" for the page's own. One that is meant `alone` is so only as the whole of a text.
function cutter(lent) {
  const byWord = new Map();             // texts by their first word, the longest first, each with how far in that stands
  for (const text of Object.keys(lent).sort((a, b) => b.length - a.length || (a < b ? -1 : 1))) {
    for (const first of [...text.matchAll(WORD)].slice(0, 1)) {
      byWord.set(first[0], (byWord.get(first[0]) || []).concat([[first.index, text]]));
    }
  }

  const endsWord = (text, end) => !(/[\p{L}\p{N}_]$/u.test(text.slice(0, end)) && /^[\p{L}\p{N}_]/u.test(text.slice(end)));

  return function (text) {
    const alone = text.trim(), cut = [];
    let after = 0, done = 0;
    for (const word of text.matchAll(WORD)) {
      const found = (byWord.get(word[0]) || []).find(([inside, one]) => word.index - inside >= after
        && text.startsWith(one, word.index - inside) && endsWord(text, word.index - inside + one.length));
      if (!found) { continue; }
      const [at, one] = [word.index - found[0], found[1]];
      after = at + one.length;
      if (lent[one][1] && one !== alone) { continue; }
      if (at > done) { cut.push([text.slice(done, at), ""]); }
      cut.push([one, lent[one][0]]);
      done = after;
    }
    if (done < text.length) { cut.push([text.slice(done), ""]); }
    return cut;
  };
}

function marker(cutUp) {
  const left = new WeakSet();           // texts that have been cut already

  function mark(node) {
    const around = node.parentElement, cut = cutUp(node.data);
    if (!around || left.has(node) || !cut.some((piece) => piece[1]) || around.closest(PLAIN)) { return; }
    if (around.localName === "option") {
      const spoken = new Set(cut.filter((piece) => piece[1] || /\p{L}\p{L}/u.test(piece[0])).map((piece) => piece[1]));
      if (spoken.size === 1) { around.lang = cut.find((piece) => piece[1])[1]; }
      return;
    }
    node.replaceWith(...cut.map(function ([said, language]) {
      const text = document.createTextNode(said);
      left.add(text);
      if (!language) { return text; }
      const space = around.namespaceURI;
      const made = document.createElementNS(space, space.endsWith("svg") ? "tspan" : "bdi");
      made.setAttribute("lang", language);
      made.append(text);
      return made;
    }));
  }

  return function (root) {
    if (root.nodeType === Node.TEXT_NODE) { mark(root); return; }
    const texts = document.createTreeWalker(root, NodeFilter.SHOW_TEXT), found = [];
    while (texts.nextNode()) { found.push(texts.currentNode); }
    found.forEach(mark);
  };
}

if (guide.lent) {
  const mark = marker(cutter(guide.lent));
  new MutationObserver((changes) => changes.forEach((change) => change.addedNodes.forEach(mark)))
    .observe(document.documentElement, { childList: true, subtree: true });
}

guide.cutter = cutter;
