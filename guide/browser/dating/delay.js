// Cars put together long after, or before, their number was given out: the twin of delay.py. A span is [least, most] days.

function delayed(line, [least, most], beyond) {
  const sums = running(line);
  const days = line.length;
  return Array.from(line, (_, day) => {
    const low = Math.max(0, day - most);
    const high = Math.min(days, day - least + 1);
    const inside = Math.max(0, high - low);
    return ((inside ? sums[high] - sums[low] : 0) + (most - least + 1 - inside) * beyond) / (most - least + 1);
  });
}

function delayedCars(edges, cars, span) {
  const byDay = cars.flatMap((one, t) => new Array(edges[t + 1] - edges[t]).fill(one / (edges[t + 1] - edges[t])));
  const sums = running(delayed(byDay, span, 0));
  const moved = cars.map((_, t) => Math.max(sums[edges[t + 1]] - sums[edges[t]], 0));
  const left = sum(moved);
  const whole = sum(cars);
  return left > 0 ? moved.map((one) => one * whole / left) : cars;
}
