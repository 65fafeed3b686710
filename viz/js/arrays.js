/* Arrays as they come from Python, made plain. */

const ARRAYS = { float32: Float32Array, float64: Float64Array, int8: Int8Array, int16: Int16Array,
  int32: Int32Array, uint8: Uint8Array, uint16: Uint16Array, uint32: Uint32Array };

/* What viz/packed.py packed: the same data with typed arrays over its run of bytes. */
function unpacked({ bytes, data }) {
  if (Array.isArray(data)) return data.map((each) => unpacked({ bytes, data: each }));
  if (data === null || typeof data !== "object" || data instanceof ArrayBuffer) return data;
  if (data.counted) {
    const [kind, length] = data.counted;
    return ARRAYS[kind].from({ length }, (_, i) => i);
  }
  if (data.array) {
    const [kind, first, count] = data.array;
    return new ARRAYS[kind](bytes, first, count);
  }
  return Object.fromEntries(Object.entries(data).map(([key, each]) => [key, unpacked({ bytes, data: each })]));
}
