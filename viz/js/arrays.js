/* Arrays as they come from Panel, made plain. */

const ARRAYS = [Float32Array, Float64Array, Int8Array, Int16Array, Int32Array, Uint8Array, Uint16Array, Uint32Array];

/* The same data with Bokeh's own array classes as plain typed arrays over the same bytes:
   cutting a part out of one of Bokeh's does not work. */
function plainArrays(value) {
  if (ArrayBuffer.isView(value)) {
    const plain = ARRAYS.find((kind) => value instanceof kind);
    return new plain(value.buffer, value.byteOffset, value.length);
  }
  if (Array.isArray(value)) return value.map(plainArrays);
  if (value === null || typeof value !== "object" || value instanceof ArrayBuffer) return value;
  return Object.fromEntries(Object.entries(value).map(([key, each]) => [key, plainArrays(each)]));
}
