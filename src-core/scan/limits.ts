/** The largest file that is read: 4 GiB. */
export const MAX_FILE_BYTES = 4 * 1024 * 1024 * 1024;

/** The most triangles a scan may have; ten times what a fine scan of a whole arch holds. */
export const MAX_TRIANGLES = 20_000_000;

/** The most vertices a scan may have: three for each triangle, as in a file that shares none. */
export const MAX_VERTICES = 3 * MAX_TRIANGLES;

/** The longest PLY header that is read, in bytes. */
export const MAX_HEADER_BYTES = 1024 * 1024;

/** The longest word in a text file that is still a word. */
export const MAX_WORD_BYTES = 65_536;

/** Coordinates at or beyond this size (file units) are no lengths; below it no product of three overflows. */
export const MAX_COORDINATE = 1e9;

/** At most this many header and comment texts are kept, each up to this many letters. */
export const MAX_NOTES = 50;
export const MAX_NOTE_LETTERS = 200;

/** Text formats tell their size late: room is made for at most this many triangles at first, and doubled as needed. */
export const FIRST_ROOM = 65_536;
