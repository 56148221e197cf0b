import { Command, CommanderError, InvalidArgumentError, Option } from 'commander'
import { assess } from '../assess.ts'
import { caution, programVersion } from '../casefile/program.ts'
import { type Failure, fail, type Result } from '../failure.ts'
import { MM_PER_UNIT } from '../geometry/units.ts'
import { recipeNames } from '../planning/terms.ts'
import { componentCsv } from '../report/component-file.ts'
import { findingsJson, jsonText } from '../report/findings-json.ts'
import { seriesCsv, sweepCsv } from '../report/study-csv.ts'
import { seriesDocument, sweepDocument } from '../report/study-json.ts'
import { type AchievedOptions, achievedCase, achievedDocument, achievedText } from './achieved.ts'
import { type CaseOptions, openCase, withBoneOptions, withPlanOptions } from './case-source.ts'
import { type CompareOptions, compareCase, comparisonDocument, comparisonText } from './compare.ts'
import { familyDocument, familyOfCase } from './components.ts'
import { demoFiles, demoFolder, listDemos } from './demo.ts'
import { serveFemur } from './femur-thread.ts'
import { writeAll } from './files.ts'
import { findingsText } from './findings-text.ts'
import { inspectionText, inspectPaths } from './inspect.ts'
import { type ExitCode, exitCodes, type Io, reportFailure } from './io.ts'
import { findLandmarks, landmarksDocument, landmarksText } from './landmarks.ts'
import { levelCase, levelDocument, levelText } from './level.ts'
import { planFiles } from './plan-files.ts'
import { type SawOffOptions, sawOffCase, sawOffDocument, sawOffText } from './saw-off.ts'
import {
  batchList,
  type SeriesOptions,
  type StudyOptions,
  type SweepOptions,
  seriesCase,
  sweepCase,
} from './studies.ts'
import { serveStudyRows } from './study-worker.ts'

serveStudyRows()
serveFemur()

interface OutputOptions {
  readonly json?: boolean
  readonly out?: string
  readonly force?: boolean
}

const processIo: Io = {
  out: (text) => process.stdout.write(text),
  err: (text) => process.stderr.write(text),
}

/** Runs one command (arguments without program name) and gives the exit code: 0 done, 1 a failure, 2 wrong usage. */
export async function run(argv: readonly string[], io: Io = processIo): Promise<ExitCode> {
  const json = argv.includes('--json')
  let code: ExitCode = exitCodes.done
  const finish = (outcome: ExitCode) => {
    code = outcome
  }
  try {
    await program(io, finish).parseAsync([...argv], { from: 'user' })
  } catch (error) {
    if (!(error instanceof CommanderError)) throw error
    if (error.exitCode === 0) return exitCodes.done
    const message = error.message.replace(/^error: /, '')
    const usage = fail('cli/usage', message, { hint: 'See --help.' }).failure
    if (json) return reportFailure(io, usage, true)
    return exitCodes.usage
  }
  return code
}

function program(io: Io, finish: (code: ExitCode) => void): Command {
  const root = new Command('floorline')
    .description('Rehearse the bone cuts of a knee replacement and see how the component stands on the floor.')
    .version(programVersion)
    .exitOverride()
    .configureOutput({ writeOut: io.out, writeErr: io.err })
    .addHelpText('after', `\n${caution}\n`)
    .showHelpAfterError('(see --help)')
  const sub = (name: string, description: string) =>
    root
      .command(name)
      .description(description)
      .option('--json', 'one JSON document on standard output')
      .addHelpText('after', `\n${caution}\n`)

  sub('inspect', 'say what mesh files are and what is wrong with them')
    .argument('<file...>', 'STL or PLY files')
    .action((files: string[], options: OutputOptions) => {
      const inspection = inspectPaths(files, (path) => files.length > 1 && io.err(`reading ${path}\n`))
      io.out(options.json ? jsonText(inspection) : inspectionText(inspection))
      finish(inspection.files.some((file) => file.ok) ? exitCodes.done : exitCodes.failed)
    })

  withBoneOptions(sub('landmarks', 'landmarks, axes, fits and angles of two bones'))
    .argument('[case]', 'case file')
    .action(async (caseFile: string | undefined, options: CaseOptions & OutputOptions) => {
      const opened = await openCase(caseFile, options)
      const found = opened.ok ? findLandmarks(opened.value) : opened
      finish(said(io, found, options, landmarksDocument, landmarksText))
    })

  withPlanOptions(sub('plan', 'everything: landmarks, cuts, thickness, volumes, limits, stance and load'))
    .argument('[case]', 'case file')
    .option('--out <folder>', 'write case, findings, report, sites and solids into this folder')
    .option('--force', 'overwrite files of the same names')
    .action(async (caseFile: string | undefined, options: CaseOptions & OutputOptions) => {
      const opened = await openCase(caseFile, options)
      if (!opened.ok) return finish(reportFailure(io, opened.failure, options.json === true))
      const findings = assess(opened.value.document, opened.value.bones, opened.value.warnings)
      if (findings.ok && options.out !== undefined) {
        const files = await planFiles(opened.value)
        const written = files.ok ? writeAll(options.out, files.value, options.force === true) : files
        if (!written.ok) return finish(reportFailure(io, written.failure, options.json === true))
        for (const path of written.value) io.err(`wrote ${path}\n`)
      }
      if (findings.ok && options.json) tellWarnings(io, findings.value.warnings)
      finish(said(io, findings, options, findingsJson, findingsText))
    })

  withPlanOptions(sub('compare', 'the four recipes side by side'))
    .argument('[case]', 'case file')
    .addOption(new Option('--baseline <recipe>', 'show differences from this recipe').choices(recipeNames))
    .option(
      '--output <name>',
      'number to set side by side; may be given again',
      (text, before: string[]) => [...before, text],
      [],
    )
    .option('--as-recipes-say', 'leave out cuts that the case enters')
    .option('--out <file>', 'write the table as CSV')
    .option('--chart <file>', 'draw small multiples as SVG, or as PNG where the name ends in .png')
    .option('--force', 'overwrite those files')
    .action(async (caseFile: string | undefined, options: CaseOptions & CompareOptions & OutputOptions) => {
      finish(said(io, await compareCase(caseFile, options), options, comparisonDocument, comparisonText))
    })

  withPlanOptions(sub('sweep', 'findings along one or two parameters of a case'))
    .argument('[case]', 'case file')
    .option(
      '--vary <path=from:to:step>',
      'parameter to vary; once or twice',
      (text, before: string[]) => [...before, text],
      [],
    )
    .option('--study <name>', 'run a study that the case holds')
    .option(
      '--chart <file>',
      'draw lines over one parameter or a map over two: SVG, or PNG where the name ends in .png',
    )
    .option('--output <name>', 'column to draw; may be given again', (text, before: string[]) => [...before, text], [])
    .option('--save-study <name>', 'keep what is varied and drawn in the case under this name')
    .option('--case-out <file>', 'where the case with the study in it is written')
    .option('--out <file>', 'write the table as CSV; an interrupted run goes on')
    .option('--force', 'overwrite that file')
    .option('--threads <n>', 'threads to use; as many as processors while memory stays below 2 GiB, unless said', count)
    .action(async (caseFile: string | undefined, options: CaseOptions & SweepOptions & OutputOptions) => {
      const swept = await sweepCase(io, caseFile, options)
      if (swept.ok && options.out !== undefined && !options.json) io.out(`${options.out}\n`)
      else finish(said(io, swept, options, sweepDocument, sweepCsv))
    })

  sub('batch', 'one row per knee of a list, into results.csv')
    .argument('<list>', 'CSV with columns femur,tibia or case, and any option or stable path')
    .requiredOption('--out <folder>', 'folder for results.csv; an interrupted run goes on')
    .option('--force', 'overwrite results.csv')
    .option('--threads <n>', 'threads to use; as many as processors while memory stays below 2 GiB, unless said', count)
    .action(async (list: string, options: StudyOptions & OutputOptions & { out: string }) => {
      const done = await batchList(io, list, options.out, options)
      const schema = 'floorline.batch/1'
      finish(
        said(
          io,
          done,
          options,
          (value) => ({ schema, caution, ...value }),
          ({ knees, failures, file }) => `${knees} knees, ${failures} of them failures: ${file}\n`,
        ),
      )
    })

  withPlanOptions(sub('series', 'bearing and interface along a load series from a CSV file'))
    .argument('[case]', 'case file')
    .requiredOption(
      '--loads <file>',
      'CSV with time, axial_N and any of lateral_N, anterior_N, at_lateral_mm, flexion_deg',
    )
    .option('--chart <file>', 'draw it over time: SVG, or PNG where the name ends in .png')
    .option('--output <name>', 'column to draw; may be given again', (text, before: string[]) => [...before, text], [])
    .option('--out <file>', 'write the table as CSV')
    .option('--force', 'overwrite those files')
    .action(
      async (
        caseFile: string | undefined,
        options: CaseOptions & SeriesOptions & OutputOptions & { loads: string },
      ) => {
        const series = await seriesCase(caseFile, options.loads, options)
        if (series.ok && options.out !== undefined && !options.json) io.out(`${options.out}\n`)
        else finish(said(io, series, options, seriesDocument, seriesCsv))
      },
    )

  withPlanOptions(sub('saw-off', 'what if the saw is off: chances that limits and tolerances hold, per recipe'))
    .argument('[case]', 'case file')
    .option('--draws <n>', 'draws of cut and landmark errors; 2000 unless said', drawCount)
    .option('--out <file>', 'write the chances as CSV')
    .option('--force', 'overwrite that file')
    .action(async (caseFile: string | undefined, options: CaseOptions & SawOffOptions & OutputOptions) => {
      finish(said(io, await sawOffCase(io, caseFile, options), options, sawOffDocument, sawOffText))
    })

  withPlanOptions(sub('achieved', 'planned cuts against those found on a bone after the cuts'))
    .argument('[case]', 'case file')
    .requiredOption('--after <file>', 'the resected bone or a mesh from after the operation, STL or PLY')
    .addOption(new Option('--bone <bone>', 'which bone it is').choices(['femur', 'tibia']).makeOptionMandatory())
    .addOption(new Option('--after-unit <unit>', 'unit of that file').choices(Object.keys(MM_PER_UNIT)))
    .option('--same-frame', 'it lies in the frame of the plan; do not lay it on the uncut surface')
    .action(async (caseFile: string | undefined, options: CaseOptions & AchievedOptions & OutputOptions) => {
      finish(said(io, await achievedCase(caseFile, options), options, achievedDocument, achievedText))
    })

  withPlanOptions(sub('components', 'the component table in use, to be edited and read again with --components'))
    .argument('[case]', 'case file; without one, the built-in family of the procedure')
    .option('--out <file>', 'write the table as CSV, or as JSON where the name ends in .json')
    .option('--force', 'overwrite that file')
    .action(async (caseFile: string | undefined, options: CaseOptions & OutputOptions) => {
      finish(said(io, await familyOfCase(caseFile, options), options, familyDocument, componentCsv))
    })

  withPlanOptions(sub('level', 'which tibial varus stands level side to side in the pose shown; an answer, not advice'))
    .argument('[case]', 'case file')
    .action(async (caseFile: string | undefined, options: CaseOptions & OutputOptions) => {
      finish(said(io, await levelCase(caseFile, options), options, levelDocument, levelText))
    })

  sub('demo', 'list the demo cases, or write one')
    .argument('[name]', 'demo case')
    .option('--out <folder>', 'folder to write the case into')
    .option('--force', 'overwrite files of the same names')
    .action(async (name: string | undefined, options: OutputOptions) => {
      const folder = demoFolder()
      const stop = (failure: Failure) => finish(reportFailure(io, failure, options.json === true))
      if (name === undefined || options.out === undefined) {
        const demos = listDemos(folder)
        if (!demos.ok) return stop(demos.failure)
        const chosen = name === undefined ? demos.value : demos.value.filter((demo) => demo.name === name)
        if (name !== undefined && chosen.length === 0) {
          const missing = await demoFiles(folder, name)
          if (!missing.ok) return stop(missing.failure)
        }
        if (options.json) io.out(jsonText({ schema: 'floorline.demo/1', caution, cases: chosen }))
        else {
          for (const demo of chosen) io.out(`${demo.name.padEnd(28)}${demo.title}\n`)
          io.err(`Write one with: floorline demo ${name ?? 'NAME'} --out FOLDER\n`)
        }
        return
      }
      const files = await demoFiles(folder, name)
      const written = files.ok ? writeAll(options.out, files.value, options.force === true) : files
      if (!written.ok) return stop(written.failure)
      if (options.json) io.out(jsonText({ schema: 'floorline.demo/1', caution, files: written.value }))
      else for (const path of written.value) io.out(`${path}\n`)
    })

  return root
}

function count(text: string): number {
  const threads = Number(text)
  if (!Number.isInteger(threads) || threads < 1 || threads > 256)
    throw new InvalidArgumentError('Write a whole number of threads.')
  return threads
}

function drawCount(text: string): number {
  const draws = Number(text)
  if (!Number.isInteger(draws) || draws < 1 || draws > 1_000_000)
    throw new InvalidArgumentError('Write a whole number of draws, at most 1000000.')
  return draws
}

function said<T>(
  io: Io,
  result: Result<T>,
  { json }: OutputOptions,
  asDocument: (value: T) => unknown,
  asText: (value: T) => string,
): ExitCode {
  if (!result.ok) return reportFailure(io, result.failure, json === true)
  io.out(json ? jsonText(asDocument(result.value)) : asText(result.value))
  return exitCodes.done
}

function tellWarnings(io: Io, warnings: readonly { readonly message: string }[]): void {
  for (const warning of warnings) io.err(`warning: ${warning.message}\n`)
}
