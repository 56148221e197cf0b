import { genericTotal } from '../../implants/generic-total.ts'

/** What can be chosen from the generic family. */
export const componentOptions = {
  femurSize: genericTotal.femoral.map((size) => size.size),
  tibiaSize: genericTotal.tibial.map((size) => size.size),
  insertMm: genericTotal.insertsMm,
} as const
