/** Version of this program, as `package.json` has it; travels in findings and reports. */
export const programVersion = '0.1.0'

/** The notice of start page, reports, exports and command line. */
export const caution =
  'Floorline is for rehearsal, teaching and research only. It is not a medical device and not for guiding a cut; ' +
  'decisions belong to the licensed surgeon and the rules that apply locally.'
