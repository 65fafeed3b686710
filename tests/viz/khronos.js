// Prints what Khronos' own validator says of a glTF file, as JSON: node khronos.js FILE
const { readFileSync } = require('node:fs');
const { validateBytes } = require('gltf-validator');

const bytes = new Uint8Array(readFileSync(process.argv[2]));
validateBytes(bytes, { maxIssues: 50 }).then((told) => console.log(JSON.stringify(told)));
