import { landmarkWords } from '../../anatomy/landmark-words.ts'
import type { BoneName, CompanionName, Side } from '../../anatomy/terms.ts'
import type { StageName } from '../../casefile/saved-view.ts'
import type { RecipeName } from '../../planning/terms.ts'
import type { CsvFormatName } from '../../report/csv-format.ts'
import { poseWords, recipeWords } from '../../report/words.ts'
import type { PoseName } from '../../stance/terms.ts'

/** Every word the window says that does not come with the findings; what the report says too is said in its room. */

export { type StageName, stageNames } from '../../casefile/saved-view.ts'

export const stageLabels: Readonly<Record<StageName, string>> = {
  bones: 'Bones',
  landmarks: 'Landmarks',
  cuts: 'Cuts',
  stance: 'Stance',
  loading: 'Loading',
  report: 'Report',
}

export const boneLabels: Readonly<Record<BoneName, string>> = { femur: 'Femur', tibia: 'Tibia' }
export const companionLabels: Readonly<Record<CompanionName, string>> = {
  'femoral-head': 'Femoral head',
  'distal-tibia': 'Distal tibia',
  fibula: 'Fibula',
}
export const sideLabels: Readonly<Record<Side, string>> = { left: 'left', right: 'right' }

export const recipeLabels = capitals(recipeWords)

export const recipeSentences: Readonly<Record<RecipeName, string>> = {
  mechanical: 'Both cuts square to the mechanical axes, the femur turned 3° outward.',
  anatomic: 'Both cuts three degrees off square, the joint line oblique as on an average knee.',
  kinematic: 'Every cut takes what its component puts back, so the native surfaces return.',
  restricted: 'As kinematic, then brought inside the entered limits.',
}

export const poseLabels = { ...capitals(poseWords), own: 'Own' } as const satisfies Readonly<Record<PoseName, string>>

export { cutWords as cutLabels, siteWords as siteLabels } from '../../report/words.ts'

export const landmarkLabels = capitals(landmarkWords)

export const csvFormatLabels: Readonly<Record<CsvFormatName, string>> = {
  comma: 'Comma',
  semicolon: 'Semicolon',
  tab: 'Tab',
  'semicolon-decimal-comma': 'Semicolon, 0,1',
}

export { caution } from '../../casefile/program.ts'

export const whatThisIs =
  'Rehearse the bone cuts of a knee replacement on the patient’s own bone models and see what each cut removes beside what the component puts back. Then stand the leg on the floor and see how far the component stays level with it.'

export const notThere = '–'

export const text = {
  open: 'Open bones…',
  dropHint: 'Or drop STL, PLY and case files anywhere in this window.',
  dropNow: 'Drop to open',
  dropExplain: 'Each file is inspected first; femur and tibia are told apart by their shape.',
  demoHeading: 'Or begin with a made-up knee',
  demoNote: 'Generated bones, no patient.',
  demoMissing: 'The demo cases are not built here. Run the start command once, or open your own files.',
  noBones: 'No bones are open yet.',
  needsBoth: (have: BoneName) =>
    `Only the ${have} is open. Open the ${have === 'femur' ? 'tibia' : 'femur'} to plan cuts and stand the leg.`,
  whichBone: (name: string) => `Which bone is ${name}?`,
  whichBoneWhy: 'Its shape alone did not settle it.',
  companionWhy: 'A part of the leg beside the knee, which carries a joint centre:',
  whichUnit: (name: string) => `Which unit is ${name} in?`,
  whichUnitWhy:
    'Mesh files do not say their unit. This is how large the surface would be, longest extent first; nothing is converted before you choose.',
  oneCaseOnly: (name: string) => `One case is open at a time: ${name} was opened.`,
  oneCaseHint: 'Open the others one after another.',
  leaveOut: 'Leave it out',
  leaveAsIs: 'Leave it as it is',
  withheld: 'withheld',
  changeUnit: 'Change…',
  preview: 'Preview',
  changeKeys: 'Change keys…',
  changeKeysTitle: 'Change keys',
  changeKeysNote: 'Choose a command, then press its new keys. Kept on this computer, not in the case.',
  findInKeys: 'Find a command in this list',
  pressKeys: 'Press the new keys, Escape for none of it',
  keysOf: (command: string) => `Change the keys of ${command}`,
  noKeys: 'none',
  takeKeysAway: (command: string) => `No keys for ${command}`,
  usualKeys: (command: string) => `Usual keys for ${command}`,
  allUsualKeys: 'All keys as usual',
  keysTaken: (keys: string, by: string) => `${keys} is taken by “${by}”.`,
  takeKeys: 'Take it from there',
  leaveKeys: 'Leave it there',
  takenBesidePutBack: 'taken beside put back',
  updating: 'updating',
  working: 'Working…',
  cancel: 'Cancel',
  close: 'Close',
  dismiss: 'Dismiss',
  locate: 'Locate…',
  locateFile: (name: string) => `Locate ${name}`,
  undo: (label: string) => `Undo ${label}`,
  redo: (label: string) => `Redo ${label}`,
  resetTo: (what: string) => `Reset ${what}`,
  sideFromShape: 'Take the side from shape',
  notFound: 'not found',
  setByHand: 'by hand',
  partsOfLandmarks: 'Parts of this stage',
  residualAndSd: 'residual, ± 1 SD, mm',
  hipFrom: 'Not on this scan. Open a file of the head, or choose it here and type its place.',
  ankleFrom: 'Not on this scan. Open a file of the distal tibia, or choose it here and type its place.',
  fibulaFrom: 'The fibula carries it: open its file, or choose it and click it on a bone.',
  ownFrom: 'Not told on this surface. Choose it and click where it belongs.',
  noWebGl: 'The 3D view needs WebGL, which this window does not have. Every number and control keeps working.',
  viewFailed: 'The 3D view stopped. Every number and control keeps working.',
  again: 'Start it again',
  panelFailed: 'This panel could not be shown. Nothing that is open is lost.',
  modelAndSource: 'Model and source',
  exports: 'Exports',
  csvFields: 'CSV fields parted by',
  namesInExports: 'Names and notes go along',
  namesInExportsNote: 'Case name, file names and notes can name a person. Left out unless ticked.',
  lessons: 'Lessons',
  ownLessons: 'In this case',
  shippedLessons: 'With the program',
  noOwnLessons: 'None yet. Record one, or open a lesson file.',
  recordLesson: 'Record a lesson…',
  play: 'Play',
  change: 'Change',
  copyAndChange: 'Copy and change',
  exportHtml: 'Save as a page…',
  exportPictures: 'Save as pictures…',
  saveAsFile: 'Save as a file…',
  remove: 'Remove',
  writingLesson: (step: number, of: number) => `Playing the lesson to write it out, step ${step} of ${of}`,
  lessonEditor: 'Lesson editor',
  lessonTitle: 'Title of the lesson',
  recordStep: 'Record this as a step',
  recordHint: 'Set up the window as the first step should show it: stage, view, cuts, pose.',
  stepWords: 'Words…',
  takeAgain: 'Take again',
  takeAgainNote: 'Stage, view and changes of this step as they are now; its words stay.',
  earlier: 'Earlier',
  later: 'Later',
  removeStep: 'Remove step',
  lessonDone: 'Keep and close',
  stepDialog: 'Words of the step',
  quoteNumber: 'Put in a number of the knee',
  onThisKnee: 'On this knee:',
  askFirst: 'Ask before it is shown',
  askOwnCut: 'Ask for an own cut',
  stepEdits: 'What the step changes in the case',
  keepStep: 'Keep it',
  picture: 'Picture of the view',
  pictureNote: 'Handles are left out. The caution is written into the file.',
  savePicture: 'Save it…',
  copyPicture: 'Copy to the clipboard',
  ownCutNote: 'yours',
  compareWithRule: 'Compare with the rule',
  lessonNeedsBones: 'This lesson needs a femur and a tibia. Open them, or a demo case, first.',
  notFromShape: 'Side not declared: taken from shape. A mirrored export cannot be excluded.',
} as const

/** The same words where they stand first. */
function capitals<K extends string>(words: Readonly<Record<K, string>>): Readonly<Record<K, string>> {
  const entries = Object.entries<string>(words).map(([id, word]) => [id, word.charAt(0).toUpperCase() + word.slice(1)])
  return Object.fromEntries(entries) as Record<K, string>
}
