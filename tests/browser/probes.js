// What the browser tests look for in a page; put in from outside, as one object.
globalThis.probes = (function () {
  "use strict";

  const PRESSED = "a[href], button, input:not([type=hidden]), select, textarea, summary";

  function shown(one) {
    return one.checkVisibility({ visibilityProperty: true }) && !one.closest("[hidden]");
  }

  function named(one) { return one.outerHTML.slice(0, 120); }

  function all(selector) { return Array.from(document.querySelectorAll(selector)); }

  // A link in a drawing that leads where a link beneath the drawing leads: for the hand alone, and no larger than it is.
  function repeats(one) {
    return Boolean(one.closest("svg") && one.closest("figure")) &&
      all("figcaption a").some((other) => other.getAttribute("href") === one.getAttribute("href"));
  }

  // Numbers every control that can be seen and returns how many; of a group of radio buttons the keyboard
  // reaches one.
  function controls() {
    const groups = new Set();
    const wanted = (one) => shown(one) && !one.disabled && !repeats(one);
    const found = all(PRESSED + ", [tabindex='0']").filter(wanted).filter((one) => {
      if (one.type !== "radio") { return true; }
      const known = groups.has(one.name);
      groups.add(one.name);
      return !known;
    });
    found.forEach((one, at) => { one.dataset.testAt = String(at); });
    return found.length;
  }

  // Where the keyboard is: the number of the control, and whether one can tell.
  function focused() {
    const one = document.activeElement;
    if (!one || one === document.body) { return null; }
    const style = getComputedStyle(one);
    const box = one.getBoundingClientRect();
    const group = one.type === "radio" ? document.querySelector(`input[name="${one.name}"][data-test-at]`) : null;
    const ring = (style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= 2) || ringed(one);
    const inSight = box.bottom > 0 && box.top < innerHeight && box.right > 0 && box.left < innerWidth;
    const at = (group || one).dataset.testAt;
    return { at: at === undefined ? null : Number(at), name: named(one), seen: ring && inSight };
  }

  // A box that is hidden away for a label of its own shows its ring on the label, or on what follows it.
  function ringed(one) {
    return [one.nextElementSibling, one.closest("label")].some((other) => {
      const style = other ? getComputedStyle(other) : null;
      return style && style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= 2;
    });
  }

  // Things to press that are smaller than 44 x 44; links inside a sentence apart, a box with its label, and what in a
  // drawing only repeats a link beside it (the criterion's exception "Equivalent").
  function small() {
    return all(PRESSED).filter((one) => shown(one) && !one.closest(".running-foot, .skip"))
      .filter((one) => !repeats(one))
      .filter((one) => !(one.tagName === "A" && getComputedStyle(one).display === "inline"))
      .map((one) => {
        const whole = (one.type === "checkbox" || one.type === "radio") && one.closest("label");
        const box = (whole || one).getBoundingClientRect();
        return { name: `${one.tagName} ${(one.textContent || one.name || "").trim().slice(0, 40)}`, box: box };
      })
      .filter((one) => one.box.width && (one.box.width < 43.5 || one.box.height < 43.5))
      .map((one) => `${one.name} ${Math.round(one.box.width)}x${Math.round(one.box.height)}`);
  }

  // What hangs out of the page sideways, and what is cut off in a box that hides the rest.
  function lost() {
    const found = [];
    if (document.documentElement.scrollWidth > innerWidth + 1) {
      const wide = all("body *").filter((one) => one.getBoundingClientRect().right > innerWidth + 1)
        .filter((one) => !one.closest(".wide-table > *, .unseen, .skip, svg.defs"));
      found.push(`scrolls sideways: ${wide.slice(0, 3).map(named).join(" | ")}`);
    }
    for (const one of all("body *:not(svg):not(svg *)")) {
      const style = getComputedStyle(one);
      if ((style.overflowX === "hidden" || style.overflowX === "clip") && one.clientWidth && !one.closest(".unseen")
        && style.clipPath !== "inset(50%)"                        // hidden from eyes, and read aloud
        && (one.scrollWidth > one.clientWidth + 1 || one.scrollHeight > one.clientHeight + 1)) {
        found.push(`cut off: ${named(one)}`);
      }
    }
    return found;
  }

  // How wide the page is, where it is wider than the screen.
  function wide() {
    const width = document.documentElement.scrollWidth;
    return width > innerWidth + 1 ? [`${width} px wide`] : [];
  }

  // What would move: transitions, animations, smooth scrolling.
  function moving() {
    const lasts = (text) => text.split(",").some((duration) => parseFloat(duration) > 0);
    return all("*").filter((one) => {
      const style = getComputedStyle(one);
      return lasts(style.transitionDuration) || lasts(style.animationDuration) || style.scrollBehavior === "smooth";
    }).map(named);
  }

  // With colours of the person's own: strokes and lettering in the colour of the ground, controls without an edge.
  // The contrast ratio of two computed colours, as WCAG 2.2 defines it.
  function contrast(one, other) {
    const [lighter, darker] = [one, other].map(function (colour) {
      const parts = colour.match(/[\d.]+/g).slice(0, 3).map((value) => value / 255)
        .map((value) => (value <= 0.04045 ? value / 12.92 : Math.pow((value + 0.055) / 1.055, 2.4)));
      return 0.2126 * parts[0] + 0.7152 * parts[1] + 0.0722 * parts[2];
    }).sort((a, b) => b - a);
    return (lighter + 0.05) / (darker + 0.05);
  }

  function faded() {
    const found = new Set();
    for (const stroke of [".drawing .part", ".drawing .detail", ".drawing .fine", ".build-line .axis", ".band .frame", ".band .slope"]) {
      for (const one of all(stroke)) {
        const ground = getComputedStyle(one.closest(".leaf") || document.body).backgroundColor;
        const drawn = getComputedStyle(one).stroke;
        if (drawn === ground || (drawn !== "none" && contrast(drawn, ground) < 3)) { found.add(stroke); }
      }
    }
    for (const one of all(".button, .entry, .answer").filter(shown)) {
      const style = getComputedStyle(one);
      if (!one.matches(".answer") && !(parseFloat(style.borderTopWidth) > 0)) { found.add(`no edge: ${named(one)}`); }
      // a browser lays the ground of the page behind words, whatever ground a control has
      const grounds = [style.backgroundColor, getComputedStyle(document.body).backgroundColor];
      if (grounds.some((ground) => !/^rgba.*, 0\)$/.test(ground) && contrast(style.color, ground) < 3)) {
        found.add(`not to be seen: ${named(one)}`);
      }
    }
    return Array.from(found);
  }

  // Leaves the first three of every long row of alike elements, so that a long list is looked at in a moment: what
  // is alike in kind and class is drawn by the same rules.
  function thin() {
    for (const parent of all("main, main *:not(svg):not(svg *)")) {
      const met = new Map();
      for (const child of Array.from(parent.children)) {
        const kind = `${child.tagName} ${child.className}`;
        met.set(kind, (met.get(kind) || 0) + 1);
        if (met.get(kind) > 3 && !child.matches("script, style")) { child.remove(); }
      }
    }
    return document.querySelectorAll("main *").length;
  }

  // On paper: letters that are not dark, grounds under them that are not white or nearly so.
  function unprinted() {
    const bright = (colour) => {
      const [red, green, blue, alpha] = (colour.match(/[\d.]+/g) || []).map(Number);
      return alpha === 0 ? null : (red + green + blue) / 765;
    };
    const found = new Set();
    for (const one of [document.documentElement, ...all("body, body *:not(svg *):not(option):not(script)")]) {
      const style = getComputedStyle(one);
      const ground = bright(style.backgroundColor);
      if (!one.checkVisibility()) { continue; }
      if (ground !== null && ground < 0.85) { found.add(`ground ${style.backgroundColor}: ${named(one)}`); }
      const lettered = Array.from(one.childNodes).some((node) => node.nodeType === 3 && node.data.trim());
      if (lettered && bright(style.color) > 0.45) { found.add(`letters ${style.color}: ${named(one)}`); }
    }
    for (const stroke of [".drawing .part", ".drawing .detail", ".drawing .fine", ".band .frame", ".band .slope"]) {
      for (const one of all(stroke)) {
        if (bright(getComputedStyle(one).stroke) > 0.45) { found.add(`stroke: ${stroke}`); }
      }
    }
    return Array.from(found);
  }

  // How far down the answers and the bar of a look reach.
  function lowest() {
    return Math.max(...all("[data-answer], .dock").filter(shown).map((one) => one.getBoundingClientRect().bottom));
  }

  // Words in a drawing of changeovers that run out of it, over one another or over a changeover.
  function crossed() {
    const found = [];
    for (const band of all("svg.band")) {
      const box = (one) => one.getBoundingClientRect();
      const edge = box(band);
      const words = Array.from(band.querySelectorAll("text")).filter((one) => one.checkVisibility());
      const slopes = Array.from(band.querySelectorAll(".slope")).map(box);
      const over = (a, b) => a.left < b.right - 1 && b.left < a.right - 1 && a.top < b.bottom - 1 && b.top < a.bottom - 1;
      words.forEach(function (word, at) {
        const own = box(word);
        if (own.left < edge.left - 1 || own.right > edge.right + 1) { found.push(`runs out: ${word.textContent}`); }
        if (word.classList.contains("name") && slopes.some((slope) => over(own, slope))) { found.push(`over a changeover: ${word.textContent}`); }
        words.slice(at + 1).filter((other) => over(own, box(other))).forEach(function (other) {
          found.push(`over one another: ${word.textContent} | ${other.textContent}`);
        });
      });
    }
    return found;
  }

  return { controls, focused, small, lost, wide, moving, faded, lowest, crossed, thin, unprinted };
}());
