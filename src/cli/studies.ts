import { existsSync, mkdirSync } from 'node:fs'
import { availableParallelism } from 'node:os'
import { dirname, join, resolve } from 'node:path'
import { writeContainer } from '../casefile/container.ts'
import type { CaseDocument, SavedStudy } from '../casefile/document.ts'
import { sha256 } from '../casefile/hash.ts'
import { programVersion } from '../casefile/program.ts'
import { fail, ok, type Result } from '../failure.ts'
import { drawnByDefault, seriesSvg } from '../report/series-svg.ts'
import { seriesCsv, studyCsv, sweepCsv } from '../report/study-csv.ts'
import { studySvg, usualOutputs } from '../report/study-svg.ts'
import { type BatchKnee, batchColumns, companionColumns, parseBatchList } from '../studies/batch.ts'
import { type LoadSeries, parseLoadSeries, runLoadSeries } from '../studies/load-series.ts'
import { sweepKey } from '../studies/study-key.ts'
import {
  parseVary,
  type StudyCell,
  type Sweep,
  sweepAssumptions,
  sweepColumns,
  sweepPoints,
  type Vary,
} from '../studies/sweep.ts'
import { type CaseOptions, type OpenedCase, openCase } from './case-source.ts'
import { readBytes, writeOne } from './files.ts'
import type { Io } from './io.ts'
import { openJournal } from './journal.ts'
import { computeRows, type Study } from './study-worker.ts'
import { writeChart } from './write-chart.ts'

export interface StudyOptions {
  readonly out?: string
  readonly force?: boolean
  readonly threads?: number
}

/** Where a load series is drawn, and which of its columns. */
export interface SeriesOptions extends StudyOptions {
  readonly chart?: string
  readonly output: readonly string[]
}

/** What a sweep varies and draws: a study of the case by name, or paths from the command line, kept under a name if asked for. */
export interface SweepOptions extends StudyOptions {
  readonly vary: readonly string[]
  readonly study?: string
  readonly output: readonly string[]
  readonly chart?: string
  readonly saveStudy?: string
  readonly caseOut?: string
}

/** Sweeps one or two parameters of a case; with `out` the CSV is written there, and an interrupted run goes on. */
export async function sweepCase(
  io: Io,
  caseFile: string | undefined,
  options: CaseOptions & SweepOptions,
): Promise<Result<Sweep>> {
  const asked = askedStudy(options)
  if (!asked.ok) return asked
  const free = unwritten([options.chart, options.caseOut], options.force === true)
  if (!free.ok) return free
  const opened = await openCase(caseFile, options)
  if (!opened.ok) return opened
  const { document, bones } = opened.value
  const defined = asked.value ?? savedStudy(document, options.study ?? '')
  if ('failure' in defined) return defined
  const { vary } = defined
  const points = sweepPoints(vary)
  if (!points.ok) return points
  const outputs =
    options.output.length > 0 ? options.output : defined.outputs.length > 0 ? defined.outputs : usualOutputs
  const study: Study = { kind: 'sweep', caseFile: caseFile ?? null, options, vary }
  const key = await sweepKey(document, vary)
  const rows = await allRows(io, study, points.value.length, key, options, options.out ?? null)
  if (!rows.ok) return rows
  const sweep: Sweep = {
    vary,
    columns: sweepColumns(vary),
    rows: rows.value.rows,
    assumptions: sweepAssumptions(document, bones),
  }
  if (options.out !== undefined) {
    const written = writeOne(options.out, sweepCsv(sweep), options.force === true)
    if (!written.ok) return written
  }
  if (options.chart !== undefined) {
    const written = await writeChart(options.chart, studySvg(sweep, document, outputs), options.force === true)
    if (!written.ok) return written
  }
  if (options.saveStudy !== undefined && options.caseOut !== undefined) {
    const study: SavedStudy = { name: options.saveStudy, vary, outputs }
    const written = await writeWithStudy(opened.value, study, options.caseOut, options.force === true)
    if (!written.ok) return written
  }
  rows.value.done()
  return ok(sweep)
}

/** Said before hours are spent: none of these files is there yet, or they may be overwritten. */
function unwritten(paths: readonly (string | undefined)[], force: boolean): Result<null> {
  const taken = force ? undefined : paths.find((path) => path !== undefined && existsSync(path))
  return taken === undefined
    ? ok(null)
    : fail('file/exists', 'The file exists already.', { hint: 'Choose another name or add --force.', place: taken })
}

type StudyDefinition = Pick<SavedStudy, 'vary' | 'outputs'>

/** What the command line asks for; null: a study of the case. */
function askedStudy({ vary: varied, study, saveStudy, caseOut }: SweepOptions): Result<StudyDefinition | null> {
  const usage = (message: string) => fail('cli/usage', message, { place: 'arguments' })
  if ((varied.length === 0) === (study === undefined))
    return usage('Name what to vary with --vary, or a study of the case with --study.')
  if ((saveStudy === undefined) !== (caseOut === undefined))
    return usage('--save-study NAME and --case-out FILE go together.')
  if (study !== undefined) return ok(null)
  const vary: Vary[] = []
  for (const text of varied) {
    const parsed = parseVary(text)
    if (!parsed.ok) return parsed
    vary.push(parsed.value)
  }
  const points = sweepPoints(vary)
  return points.ok ? ok({ vary, outputs: [] }) : points
}

function savedStudy({ studies }: CaseDocument, name: string) {
  const names = studies.map((study) => study.name).join(', ')
  return (
    studies.find((study) => study.name === name) ??
    fail('case/unknown-path', `The case holds no study “${name}”.`, {
      hint: names === '' ? 'It holds none; save one with --save-study and --case-out.' : `Its studies: ${names}.`,
      place: '--study',
    })
  )
}

/** The case with the study in it, in the place of one of the same name. */
async function writeWithStudy({ document, meshes }: OpenedCase, study: SavedStudy, path: string, force: boolean) {
  const studies = [...document.studies.filter(({ name }) => name !== study.name), study]
  const bytes = await writeContainer({ document: { ...document, studies }, meshes })
  return bytes.ok ? writeOne(path, bytes.value, force) : bytes
}

export interface BatchDone {
  readonly knees: number
  readonly failures: number
  readonly file: string
}

/** Works through a list of knees into `results.csv` in a folder; a failure is a row; an interrupted run goes on. */
export async function batchList(
  io: Io,
  list: string,
  folder: string,
  options: StudyOptions,
): Promise<Result<BatchDone>> {
  const bytes = readBytes(list)
  if (!bytes.ok) return bytes
  const parsed = parseBatchList(new TextDecoder().decode(bytes.value))
  if (!parsed.ok) return parsed
  const base = dirname(resolve(list))
  const located = (path: string | null) => (path === null ? null : resolve(base, path))
  const knees = parsed.value.map(
    (knee): BatchKnee => ({
      ...knee,
      caseFile: located(knee.caseFile),
      femur: located(knee.femur),
      tibia: located(knee.tibia),
      options: Object.fromEntries(
        Object.entries(knee.options).map(([name, value]) => [
          name,
          (companionColumns as readonly string[]).includes(name) ? resolve(base, value) : value,
        ]),
      ),
    }),
  )
  const file = join(folder, 'results.csv')
  mkdirSync(folder, { recursive: true })
  const key = await sha256(new TextEncoder().encode(JSON.stringify([programVersion, knees])))
  const rows = await allRows(io, { kind: 'batch', knees }, knees.length, key, options, file)
  if (!rows.ok) return rows
  const written = writeOne(
    file,
    studyCsv(['one row per knee, in the order of the list'], batchColumns(), rows.value.rows),
    options.force === true,
  )
  if (!written.ok) return written
  rows.value.done()
  const failed = rows.value.rows.filter((row) => typeof row[row.length - 2] === 'string').length
  return ok({ knees: knees.length, failures: failed, file })
}

async function allRows(
  io: Io,
  study: Study,
  count: number,
  key: string,
  { threads, force }: StudyOptions,
  out: string | null,
): Promise<Result<{ readonly rows: readonly (readonly StudyCell[])[]; readonly done: () => void }>> {
  if (out !== null && force !== true) {
    const taken = readBytes(out)
    if (taken.ok)
      return fail('file/exists', 'The file exists already.', {
        hint: 'Choose another name or add --force.',
        place: out,
      })
  }
  const journal = out === null ? null : openJournal(`${out}.part`, key)
  const rows = new Map<number, readonly StudyCell[]>(journal?.known)
  if (rows.size > 0) io.err(`going on after ${rows.size} of ${count} rows\n`)
  const missing = Array.from({ length: count }, (_, k) => k).filter((k) => !rows.has(k))
  const hands = { most: threads ?? availableParallelism(), asked: threads !== undefined }
  await computeRows(study, missing, hands, (index, row) => {
    rows.set(index, row)
    journal?.add(index, row)
    io.err(`${rows.size} of ${count}\n`)
  })
  const ordered = Array.from({ length: count }, (_, k) => rows.get(k) ?? [])
  return ok({ rows: ordered, done: () => journal?.remove() })
}

/** Contact along a load series (CSV) for the components of a case; with `out` the table is written there. */
export async function seriesCase(
  caseFile: string | undefined,
  loads: string,
  options: CaseOptions & SeriesOptions,
): Promise<Result<LoadSeries>> {
  const free = unwritten([options.out, options.chart], options.force === true)
  if (!free.ok) return free
  const bytes = readBytes(loads)
  if (!bytes.ok) return bytes
  const moments = parseLoadSeries(new TextDecoder().decode(bytes.value))
  if (!moments.ok) return moments
  const opened = await openCase(caseFile, options)
  if (!opened.ok) return opened
  const series = runLoadSeries(opened.value.document, opened.value.bones, moments.value)
  if (series.ok && options.out !== undefined) {
    const written = writeOne(options.out, seriesCsv(series.value), options.force === true)
    if (!written.ok) return written
  }
  if (series.ok && options.chart !== undefined) {
    const outputs = options.output.length > 0 ? options.output : drawnByDefault(series.value)
    const written = await writeChart(options.chart, seriesSvg(series.value, outputs), options.force === true)
    if (!written.ok) return written
  }
  return series
}
