import { changeKeys } from './change-keys.ts'
import type { Command } from './command.ts'
import { compareRecipes } from './compare-recipes.ts'
import { componentTable } from './component-table.ts'
import { explainNumbers } from './explain-numbers.ts'
import { findCommand } from './find-command.ts'
import { fitKnee } from './fit-knee.ts'
import { fitView } from './fit-view.ts'
import { fullScreen } from './full-screen.ts'
import { help } from './help.ts'
import { layers } from './layers.ts'
import { lessons } from './lessons.ts'
import { liftPieces } from './lift-pieces.ts'
import { loadSeries } from './load-series.ts'
import { markers } from './marker.ts'
import { measure } from './measure.ts'
import { newCase } from './new-case.ts'
import { openBones } from './open-bones.ts'
import { perspective } from './perspective.ts'
import { present } from './present.ts'
import { printReport, savePdf } from './print-report.ts'
import { redo } from './redo.ts'
import { saveCase, saveCaseAs } from './save-case.ts'
import { saveFindings, saveReport, saveSites } from './save-exports.ts'
import { sawOff } from './saw-off.ts'
import { seeThrough } from './see-through.ts'
import { showKeys } from './show-keys.ts'
import { showStages } from './show-stage.ts'
import { sightCommands } from './sight.ts'
import { snapshot } from './snapshot.ts'
import { sweep } from './sweep.ts'
import { themes } from './themes.ts'
import { thicknessMapCommand } from './thickness-map.ts'
import { undo } from './undo.ts'
import { viewPresets } from './view-presets.ts'

/** Everything the window can do, in the order in which menu and palette show it. */
export const commands: readonly Command[] = [
  openBones,
  saveCase,
  saveCaseAs,
  newCase,
  printReport,
  savePdf,
  saveReport,
  saveFindings,
  saveSites,
  snapshot,
  undo,
  redo,
  componentTable,
  compareRecipes,
  sawOff,
  sweep,
  loadSeries,
  ...showStages,
  ...viewPresets,
  fitView,
  fitKnee,
  perspective,
  liftPieces,
  seeThrough,
  thicknessMapCommand,
  measure,
  ...sightCommands,
  ...layers,
  ...lessons,
  ...markers,
  present,
  fullScreen,
  ...themes,
  help,
  explainNumbers,
  findCommand,
  showKeys,
  changeKeys,
]

export function commandById(id: string): Command {
  const command = commands.find((c) => c.id === id)
  if (!command) throw new Error(`No command is called ${id}.`)
  return command
}
