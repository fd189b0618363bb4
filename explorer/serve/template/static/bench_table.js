// Reads the table that Python packed (explorer/study/table.py).

const TYPES = { u1: Uint8Array, i1: Int8Array, u2: Uint16Array, f4: Float32Array };

// Steps kept as differences to the one `back` places before, low bytes first.
function sums(bytes, begin, count, back) {
  const halves = new Uint8Array(bytes, begin, 2 * count);
  const steps = new Uint16Array(count);
  for (let at = 0; at < count; at += 1) {
    steps[at] = halves[at] + (halves[count + at] << 8) + (at < back ? 0 : steps[at - back]);
  }
  return steps;
}

// From base64 of the deflated form to {meta, arrays}; an array has `at(row)`, the row's own numbers.
export async function readTable(text) {
  const packed = Uint8Array.from(atob(text), (sign) => sign.charCodeAt(0));
  const stream = new Blob([packed]).stream().pipeThrough(new DecompressionStream("deflate"));
  const bytes = await new Response(stream).arrayBuffer();
  const size = new DataView(bytes).getUint32(0, true);
  const meta = JSON.parse(new TextDecoder().decode(new Uint8Array(bytes, 4, size)));
  const arrays = {};
  for (const { name, type, shape, offset, scale, back } of meta.arrays) {
    const count = shape.reduce((product, length) => product * length, 1);
    const begin = 4 + size + offset;
    const stored = back ? sums(bytes, begin, count, back) : new TYPES[type](bytes, begin, count);
    const values = scale === null ? stored : Float32Array.from(stored, (step) => step * scale);
    const width = count / shape[0];
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
  return { meta, arrays, rows };
}
