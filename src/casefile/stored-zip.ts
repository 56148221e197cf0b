import { zipSync } from 'fflate'

/** Files that are packed already (pictures) as one zip, unpacked in it. Equal files give equal bytes. */
export const storedZip = (files: Readonly<Record<string, Uint8Array>>): Uint8Array<ArrayBuffer> =>
  new Uint8Array(zipSync({ ...files }, { level: 0, mtime: new Date(1980, 0, 1) }))
