// Edits made from a sheet that was overtaken: the hand was quicker than the answer to the edit before. What they say of the
// third row of a list is meant of the row that was third then, wherever it stands by now.

const same = (a, b) => JSON.stringify(a) === JSON.stringify(b);

/** Where row k of a list as it was stands in the list as it is; -1 if it is there no more. A row past its end is added. */
function row(was, now, k) {
  if (was.length <= k) return now.length + k - was.length;
  const id = was[k] && was[k].id;
  const named = id === undefined ? -1 : now.findIndex((r) => r && r.id === id);
  if (named >= 0) return named;
  // As long as before it is the same row, called or set otherwise.
  if (was.length === now.length) return k;
  const like = now.findIndex((r) => same(r, was[k]));
  return id === undefined && like === now.findLastIndex((r) => same(r, was[k])) ? like : -1;
}

/** The edits, made from the job `was`, with the places they mean in the job `now`; null if one is there no more. */
export function onto(edits, was, now) {
  if (was === now) return edits;
  const out = [];
  for (const e of edits) {
    let [a, b] = [was, now];
    const path = [];
    for (const step of e.path) {
      const k = typeof step === "number" ? row(Array.isArray(a) ? a : [], Array.isArray(b) ? b : [], step) : step;
      if (k === -1) return null;
      path.push(k);
      a = a && a[step];
      b = b && b[k];
    }
    out.push({ ...e, path });
  }
  return out;
}
