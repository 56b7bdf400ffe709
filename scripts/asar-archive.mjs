/**
 * An asar archive (Electron's archive format) of a flat list of text files.
 * @param {Record<string, string>} files text by name
 * @returns {Buffer}
 */
export function asarArchive(files) {
  const bodies = [];
  const index = {};
  let offset = 0;
  for (const [name, text] of Object.entries(files)) {
    const body = Buffer.from(text, "utf8");
    index[name] = { size: body.length, offset: String(offset) };
    offset += body.length;
    bodies.push(body);
  }
  const json = Buffer.from(JSON.stringify({ files: index }), "utf8");
  const padded = Math.ceil(json.length / 4) * 4;
  const head = Buffer.alloc(16 + padded);
  head.writeUInt32LE(4, 0); // size of the next field
  head.writeUInt32LE(8 + padded, 4); // size of the header
  head.writeUInt32LE(4 + padded, 8); // size of its text with its length
  head.writeUInt32LE(json.length, 12); // length of its text
  json.copy(head, 16);
  return Buffer.concat([head, ...bodies]);
}
