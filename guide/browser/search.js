// Looking things up: words are folded as in guide/pages/parts/search.py, and found as tests/twins/searching.py tells.
// Pure functions, no page.

const K1 = 1.2, B = 0.75;
const PREFIX = 0.7, PART = 0.5, ALIKE = 0.4, SYNONYM = 0.8;
const LEAST_PREFIX = 3, LEAST_PART = 4, LEAST_ROOT = 5, ENDING = 2, LEAST_SHARE = 0.15;
const SPECIAL = { "ß": "ss", "æ": "ae", "œ": "oe", "ø": "o", "đ": "d", "ł": "l", "ı": "i", "þ": "th", "ð": "d" };
const WORD = /[\p{L}\p{N}]+/gu;
const STOP = new Set(("a an and at by for from how in is it of on or the to was what when where which with "
  + "der das und ein eine einem einen einer ist mit von vom zu zum zur im auf den dem des oder nach bei "
  + "wo wie wann welche welcher welches").split(" "));
const search = guide.search = {};

// Text without capitals and accents.
search.fold = function (text) {
  if (/^[\0-\x7f]*$/.test(text)) return text.toLowerCase();
  const spelt = Array.from(text.normalize("NFC").toLowerCase(), (letter) => SPECIAL[letter] || letter).join("");
  return spelt.normalize("NFKD").replace(/\p{M}/gu, "");
};

search.stem = function (word) {
  if (word.length > 4 && word.endsWith("ies")) return word.slice(0, -3) + "y";
  if (word.length > 3 && word.endsWith("s") && !word.endsWith("ss")) return word.slice(0, -1);
  return word;
};

search.wordsIn = function (text) {
  return (search.fold(text).match(WORD) || []).filter((word) => !STOP.has(word)).map(search.stem);
};

search.compact = (text) => (search.fold(text).match(WORD) || []).join("");

// Optimal string alignment; a distance beyond `most` may be given as most + 1. Signs beyond the first plane count as two.
search.editDistance = function (a, b, most = Infinity) {
  if (Math.abs(a.length - b.length) > most) return most + 1;
  let before = [], last = [], row = [];
  for (let j = 0; j <= b.length; j += 1) last[j] = j;
  for (let i = 1; i <= a.length; i += 1) {
    let least = row[0] = i;
    const own = a.charCodeAt(i - 1);
    for (let j = 1; j <= b.length; j += 1) {
      const other = b.charCodeAt(j - 1);
      let cost = last[j - 1] + (own === other ? 0 : 1);
      if (last[j] < cost) cost = last[j] + 1;
      if (row[j - 1] < cost) cost = row[j - 1] + 1;
      if (i > 1 && j > 1 && own === b.charCodeAt(j - 2) && a.charCodeAt(i - 2) === other && before[j - 2] < cost) cost = before[j - 2] + 1;
      row[j] = cost;
      if (cost < least) least = cost;
    }
    if (least > most) return most + 1;
    [before, last, row] = [last, row, before];
  }
  return last[b.length];
};

search.inverseFrequency = (entries, holding) => Math.log(1 + (entries - holding + 0.5) / (holding + 0.5));

search.bm25 = function (count, length, mean, rarity) {
  return count <= 0 ? 0 : rarity * count * (K1 + 1) / (count + K1 * (1 - B + B * length / mean));
};

// The words that entries hold, as `packed` in index_entries.py writes them: {counts: [Map of each entry], holding: Map of
// each word's entries, times: how often each of them holds it}.
function unpacked([words, holders], entries) {
  const counts = entries.map(() => new Map()), holding = new Map(), times = new Map(), lines = holders.split("\n");
  let first = 0;
  words.split(" ").filter(Boolean).forEach(function (word, line) {
    let entry = first;
    const own = [], often = [];
    lines[line].split(" ").forEach(function (held) {
      const [gap, count] = held.split("'");
      entry += parseInt(gap, 36);
      own.push(entry);
      often.push(count ? parseInt(count, 36) : 1);
      counts[entry].set(word, often[often.length - 1]);
    });
    holding.set(word, own);
    times.set(word, often);
    first = own[0];
  });
  return { counts, holding, times };
}

// What means the same as each single word, as wordings, and which entries are called just so.
function named(data) {
  const alike = new Map(), called = new Map();
  const add = (table, key, one, same) => {
    if (!table.has(key)) table.set(key, []);
    if (!table.get(key).some((other) => same(other, one))) table.get(key).push(one);
  };
  const call = (name, entry) => add(called, name.join(" "), entry, (a, b) => a === b);
  data.entries.forEach((entry, at) => call(search.wordsIn(entry.title), at));
  data.named.forEach(([at, name]) => call(search.wordsIn(name), at));
  data.alike.forEach(function ([entries, ...others]) {
    const names = [data.entries[entries[0]].title, ...others].map(search.wordsIn).filter((name) => name.length);
    names.forEach(function (mine) {
      entries.forEach((at) => call(mine, at));
      if (mine.length !== 1 || /^\p{Nd}+$/u.test(mine[0])) return;
      names.filter((other) => other.join() !== mine.join()).forEach((other) => add(alike, mine[0], other, (a, b) => a.join() === b.join()));
    });
  });
  called.delete("");
  return { alike, called };
}

search.prepare = function (data) {
  const { counts, holding, times } = unpacked(data.holders, data.entries);
  const { alike, called } = named(data);
  const lengths = counts.map((count) => Array.from(count.values()).reduce((a, b) => a + b, 0));
  const mean = lengths.length ? lengths.reduce((a, b) => a + b, 0) / lengths.length : 1;
  const numbers = data.parts.map(([written, at, after]) => ({ number: search.compact(written), at, written, after: after || "" }));
  return { data, numbers, counts, lengths, mean: mean || 1, holding, times, alike, called, text: "\n" + Array.from(holding.keys()).join("\n") + "\n" };
};

search.PART_NUMBER = 50; // what a part number adds to a score: more than any words do
const EXACT = 100, SUCCESSOR = 75; // where it is asked for whole, and where it took the place of such a one
const NAMED = 20;        // what being called just so adds

search.find = function (index, question) {
  const asked = Array.from(new Set(search.wordsIn(question)));
  const scores = new Float64Array(index.counts.length), best = new Float64Array(scores.length);
  const hits = new Uint16Array(scores.length), met = [], meant = [];
  let guessed = false;
  asked.forEach(function (word) {
    const [ways, like] = waysOf(index, word, asked);
    meant.push(like || word);
    guessed = guessed || Boolean(like);
    const own = [];
    const take = (at, score) => {
      if (best[at] === 0) own.push(at);
      if (score > best[at]) best[at] = score;
    };
    ways.forEach(function ([way, weight]) {
      const holders = index.holding.get(way), times = index.times.get(way);
      const rarity = search.inverseFrequency(scores.length, holders.length);
      holders.forEach((at, i) => take(at, weight * search.bm25(times[i], index.lengths[at], index.mean, rarity)));
    });
    bySynonym(index, word).forEach((score, at) => take(at, score));
    own.forEach(function (at) {
      if (scores[at] === 0) met.push(at);
      scores[at] += best[at];
      hits[at] += 1;
      best[at] = 0;
    });
  });
  met.forEach((at) => { scores[at] *= Math.pow(hits[at] / asked.length, 2); });
  const add = (at, worth) => {
    if (scores[at] === 0) met.push(at);
    scores[at] += worth;
  };
  const numbered = byPartNumber(index, question);
  numbered.forEach(([worth], at) => add(at, worth));
  const least = met.reduce((most, at) => Math.max(most, scores[at]), 0) * LEAST_SHARE;
  (index.called.get(search.wordsIn(question).join(" ")) || []).forEach(   // first, and nothing else the less worth showing
    (at) => add(at, (scores[at] === 0 ? least : 0) + NAMED));
  const kept = met.filter((at) => scores[at] >= least), rounded = best;
  kept.forEach((at) => { rounded[at] = Math.round(scores[at] * 1e9); });
  kept.sort((a, b) => rounded[b] - rounded[a] || a - b);
  return {
    found: kept.map((at) => (numbered.has(at) ? { entry: at, score: scores[at], part: numbered.get(at)[1] } : { entry: at, score: scores[at] })),
    meant: guessed ? meant.join(" ") : null,
  };
};

// Pairs whose two sides a question names, as places in the index's pairs: find_pairs in searching.py.
search.findPairs = function (index, question) {
  const words = search.wordsIn(question);
  const asked = words.map((word, at) => ({ again: words.indexOf(word, at + 1) > 0, ways: waysOf(index, word, words)[0].concat(
    (index.alike.get(word) || []).filter((others) => others.length === 1).map((others) => [others[0], SYNONYM])) }));
  const said = new Set(asked.flatMap((word) => word.ways.map(([way]) => way)));
  const pairs = index.data.pairs.map((row) => row.slice(2).map((text) => text.split(" ")));
  const names = pairs.flatMap(([, one, other]) => [one, other]);
  const found = [];
  pairs.forEach(function ([part, one, other], at) {
    const own = [one.filter((word) => !other.includes(word)), other.filter((word) => !one.includes(word))];
    const common = one.filter((word) => other.includes(word));
    const named = namedBy(asked, part.concat(common), own);
    const changes = named.turns.filter((turn, i) => i > 0 && turn !== named.turns[i - 1]).length;
    const offered = own[0].length && own[1].length
      ? changes === 1 && !names.some((name) => named.claimed.every((word) => name.includes(word)))
      : named.turns.length && asked.some((word) => word.again && heaviest(word, common)[1]);
    const unsaid = own.flat().filter((word) => !said.has(word)).length;
    if (offered) found.push([Math.round(named.covered * 1e9) / 1e9, unsaid, at]);
  });
  found.sort((a, b) => b[0] - a[0] || a[1] - b[1] || a[2] - b[2]);
  return found.filter((one) => one[0] === found[0][0] && one[1] === found[0][1]).map((one) => one[2]);
};

// The heaviest of a word's ways among some words, and its weight.
function heaviest(word, words) {
  return word.ways.filter(([way]) => words.includes(way))
    .reduce((best, way) => (way[1] > best[1] || (way[1] === best[1] && way[0] > best[0]) ? way : best), ["", 0]);
}

function namedBy(asked, shared, own) {
  const named = { covered: 0, turns: [], claimed: [] };
  asked.forEach(function (word) {
    const both = heaviest(word, shared)[1];
    const sides = own.map((side) => heaviest(word, side));
    const turn = sides[0][1] > sides[1][1] ? 0 : 1;
    const [way, weight] = sides[turn];
    named.covered += Math.max(both, weight);
    if (sides[0][1] !== sides[1][1] && (weight > both || (weight === both && own[turn].length === 1 && !word.again))) {
      named.turns.push(turn);
      named.claimed.push(way);
    }
  });
  return named;
}

function waysOf(index, word, asked) {
  const known = index.holding, ways = new Map();
  if (known.has(word)) ways.set(word, 1);
  for (let ending = 1; ending <= ENDING && word.length - ending >= LEAST_ROOT; ending += 1) {
    if (known.has(word.slice(0, -ending))) ways.set(word.slice(0, -ending), PREFIX);
  }
  // all words as one text, each between two line ends: one look through it, and not one into each of them
  const sought = word.length >= LEAST_PART ? word : word.length >= LEAST_PREFIX ? "\n" + word : null;
  for (let at = sought ? index.text.indexOf(sought) : -1; at >= 0;) {
    const begun = index.text.lastIndexOf("\n", at) + 1, ended = index.text.indexOf("\n", begun);
    const other = index.text.slice(begun, ended);
    if (!ways.has(other)) ways.set(other, other.startsWith(word) ? PREFIX : PART);
    at = index.text.indexOf(sought, ended);
  }
  for (let i = 0; i + 1 < asked.length; i += 1) {
    const joined = asked[i] + asked[i + 1];
    if ((word === asked[i] || word === asked[i + 1]) && known.has(joined) && !ways.has(joined)) ways.set(joined, PREFIX);
  }
  if (!known.has(word)) {
    for (let at = LEAST_PREFIX; at <= word.length - LEAST_PREFIX; at += 1) {
      const head = search.stem(word.slice(0, at)), tail = word.slice(at);
      if (known.has(head) && known.has(tail)) {
        if (!ways.has(head)) ways.set(head, PART);
        if (!ways.has(tail)) ways.set(tail, PART);
      }
    }
  }
  if (ways.size || index.alike.has(word) || /\p{Nd}/u.test(word)) return [Array.from(ways), ""];
  const most = word.length < 4 ? 0 : word.length < 7 ? 1 : 2;
  const close = nearest(index, word, most), ends = close.length && close[0][0] === 1 ? [] : endings(index, word);
  const near = ends.length ? ends : close.map((one) => one[4]);
  if (!near.length) return [[], ""];
  return [near.filter((like) => known.has(like)).map((like) => [like, ALIKE]), near[0]];
}

// The longest word known that one put together ends in, as an ashtray is a tray.
function endings(index, word) {
  for (let at = 2; at <= word.length - LEAST_PART; at += 1) {
    if (index.holding.has(word.slice(at))) return [word.slice(at)];
  }
  return [];
}

// A word's letters as bits: of two words n changes apart no more than 2n differ, which spares most of the comparing.
function letters(word) {
  let bits = 0;
  for (let at = 0; at < word.length; at += 1) bits |= 1 << (word.charCodeAt(at) & 31);
  return bits;
}

function differing(a, b) {
  let bits = a ^ b, count = 0;
  for (; bits; bits &= bits - 1) count += 1;
  return count;
}

function nearest(index, word, most) {
  if (!index.known) {
    index.known = Array.from(new Set([...index.holding.keys(), ...index.alike.keys()]));
    index.letters = Int32Array.from(index.known, letters);
    index.long = Int32Array.from(index.known, (other) => other.length);
  }
  const own = letters(word);
  const ranked = [];
  for (let at = most ? 0 : index.known.length; at < index.known.length; at += 1) {
    if (Math.abs(index.long[at] - word.length) > most || differing(own, index.letters[at]) > 2 * most) continue;
    const other = index.known[at];
    const distance = search.editDistance(word, other, most);
    if (distance > 0 && distance <= most && !/^\p{N}+$/u.test(other)) {
      const weight = Math.max(0, ...(index.holding.get(other) || []).map((entry) => index.counts[entry].get(other)));
      ranked.push([distance, word[0] === other[0] ? 0 : 1, -weight, at, other]);
    }
  }
  ranked.sort((a, b) => a[0] - b[0] || a[1] - b[1] || a[2] - b[2] || a[3] - b[3]);
  return ranked.filter((one) => one[0] === ranked[0][0]).slice(0, 4);
}

function bySynonym(index, word) {
  const found = new Map();
  (index.alike.get(word) || []).forEach(function (others) {
    if (!others.every((other) => index.holding.has(other))) return;
    index.holding.get(others[0]).forEach(function (at) {
      if (!others.every((other) => index.counts[at].has(other))) return;
      const score = Math.min(...others.map((other) => search.bm25(
        index.counts[at].get(other), index.lengths[at], index.mean,
        search.inverseFrequency(index.counts.length, index.holding.get(other).length))));
      found.set(at, Math.max(found.get(at) || 0, SYNONYM * score));
    });
  });
  return found;
}

// The entries that a number leads to, as [worth, [the number as written, what took its place, whose place it took]].
function byPartNumber(index, question) {
  const asked = search.compact(question), found = new Map();
  if (!/\p{Nd}/u.test(asked)) return found;
  const rows = index.numbers;
  const lead = (meant, worth, before) => rows.filter(meant).forEach(function (row) {
    if (!found.has(row.at)) found.set(row.at, [worth, [row.written, row.after, before]]);
  });
  const next = (meant) => rows.find((row) => row.number === meant && row.after) || { written: "", after: "" };
  const named = (number) => number === asked || (number.length >= LEAST_PART && asked.includes(number) && /\p{Nd}/u.test(number));
  const within = Array.from(new Set(rows.map((row) => row.number).filter(named)));
  within.filter((one) => !within.some((other) => other !== one && other.includes(one))).forEach(function (meant) {
    lead((row) => row.number === meant, EXACT, "");
    const met = [meant];
    for (let row = next(meant); row.after && !met.includes(search.compact(row.after)); row = next(met[met.length - 1])) {
      const after = search.compact(row.after);
      met.push(after);
      lead((other) => other.number === after, SUCCESSOR, row.written);
    }
  });
  lead((row) => asked.length >= LEAST_PART && row.number.includes(asked), search.PART_NUMBER, "");
  return found;
}
