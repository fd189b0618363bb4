// Reads the table that Python packed (explorer/study/table.py).

const TYPES = { u1: Uint8Array, i1: Int8Array, u2: Uint16Array, f4: Float32Array };

// Steps kept as what their neighbours do not tell: `backs` places before, low bytes first.
function decoded(bytes, begin, count, backs) {
  const halves = new Uint8Array(bytes, begin, 2 * count);
  const steps = new Uint16Array(count);
  for (let at = 0; at < count; at += 1) {
    const folded = halves[at] + (halves[count + at] << 8);
    steps[at] = (folded >> 1) ^ -(folded & 1);
  }
  for (const back of [...backs].reverse()) {
    for (let at = back; at < count; at += 1) steps[at] += steps[at - back];
  }
  return steps;
}

// Adds what a multiple of another array lets expect, or of its running sum along each row.
function addExpected(steps, others, factor, summed, width) {
  let sum = 0;
  for (let at = 0; at < steps.length; at += 1) {
    if (!summed) sum = others[at];
    else sum = at % width ? sum + others[at] + others[at - 1] : 0;
    steps[at] += Math.floor(sum * factor + 0.5);
  }
}

// From base64 of the deflated form to {meta, arrays}; an array has `at(row)`, the row's own numbers.
export async function readTable(text) {
  const packed = Uint8Array.from(atob(text), (sign) => sign.charCodeAt(0));
  const stream = new Blob([packed]).stream().pipeThrough(new DecompressionStream("deflate"));
  const bytes = await new Response(stream).arrayBuffer();
  const size = new DataView(bytes).getUint32(0, true);
  const meta = JSON.parse(new TextDecoder().decode(new Uint8Array(bytes, 4, size)));
  const { texts } = meta;
  meta.texts = texts[0][0].map((_, row) => texts.map((tile) => tile.map((part) => part[row])));
  const arrays = {};
  const kept = {};
  for (const { name, type, shape, offset, scale, backs, like, most } of meta.arrays) {
    const count = shape.reduce((product, length) => product * length, 1);
    const begin = 4 + size + offset;
    const width = count / shape[0];
    let values = null;
    if (scale === null) values = new TYPES[type](bytes, begin, count);
    else {
      kept[name] = decoded(bytes, begin, count, backs);
      if (like) addExpected(kept[name], kept[like[0]], like[1], like[2], width);
      values = Float32Array.from(kept[name], (step) => step * scale);
    }
    if (most) {
      const points = shape[shape.length - 1];
      for (let at = 0; at < count; at += 1) values[at] *= arrays[most].values[Math.floor(at / points)];
    }
    arrays[name] = {
      values,
      shape,
      at: (row) => (width === 1 ? values[row] : values.subarray(row * width, (row + 1) * width)),
    };
  }
  const rows = new Map();
  for (let row = meta.named; row < meta.texts.length; row += 1) {
    rows.set(arrays.front.at(row) * 256 + arrays.rear.at(row), row);
  }
  return { text, meta, arrays, rows };
}
