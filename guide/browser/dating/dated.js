// One car dated, each thing once: the twin of dated.py.

// Everything worked out once for a session; the last one is remembered, so that a screen may ask twice.
function workOut(prepared, session) {
  const key = JSON.stringify([session.answers, session.car, session.reach, session.known]);
  if (!prepared.last || prepared.last.key !== key) {
    const state = believe(prepared, session);
    prepared.last = { key, state, concluded: figures(state), apart: standsApart(state), found: null };
  }
  return prepared.last;
}

// The looks there are, and the best of them within reach.
function lookOut(worked) {
  if (!worked.found) {
    const least = worked.state.prepared.model.stop.gain_bits;
    worked.found = looks(worked.state);
    worked.inside = chooseAhead(worked.state, worked.found.filter((one) => one.within && one.gain_bits >= least));
  }
  return worked;
}

function onward(worked) {
  const { state, concluded } = worked;
  const code = wouldStop(state.prepared, concluded.periods, concluded.line);
  if (code) { return { stopped: code, look: null }; }
  const { found, inside } = lookOut(worked);
  if (inside) { return { stopped: null, look: inside }; }
  return { stopped: choose(found, state.prepared.model.stop.gain_bits) ? "nothing-in-reach" : "nothing-left", look: null };
}
