import type { CaseDocument } from '../casefile/document.ts'
import { ok, type Result } from '../failure.ts'
import { tableOf } from '../implants/component-table.ts'
import { type OwnFamily, ownFamilyId, partialFamily, totalFamily } from '../implants/families.ts'
import { componentCsv, componentDocument, componentJson } from '../report/component-file.ts'
import { parseComponents } from '../studies/component-file.ts'
import { type CaseOptions, documentOf } from './case-source.ts'
import { readBytes, writeOne } from './files.ts'

/** A file with a component table of the user's own. */
export interface ComponentOptions {
  readonly components?: string
}

/** The case with that table in it, and planned with. */
export function withComponents(document: CaseDocument, { components }: ComponentOptions): Result<CaseDocument> {
  if (components === undefined) return ok(document)
  const bytes = readBytes(components)
  if (!bytes.ok) return bytes
  const own = parseComponents(new TextDecoder().decode(bytes.value))
  if (!own.ok) return own
  return ok({ ...document, implants: { ...document.implants, family: ownFamilyId, own: own.value } })
}

/** The family a case plans with; with `out` its table is written there, as JSON where the name ends so, else as CSV. */
export async function familyOfCase(
  caseFile: string | undefined,
  options: CaseOptions & { readonly out?: string; readonly force?: boolean },
): Promise<Result<OwnFamily>> {
  const document = await documentOf(caseFile, options)
  if (!document.ok) return document
  const { procedure, implants } = document.value
  const family: Result<OwnFamily> =
    procedure === 'total' ? totalFamily(implants.family, implants.own) : partialFamily(implants.family, implants.own)
  if (family.ok && options.out !== undefined) {
    const text = /\.json$/i.test(options.out) ? componentJson(family.value) : componentCsv(family.value)
    const written = writeOne(options.out, text, options.force === true)
    if (!written.ok) return written
  }
  return family
}

export const familyDocument = (family: OwnFamily) => componentDocument(tableOf(family))
