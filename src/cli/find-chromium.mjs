import { existsSync } from 'node:fs'
import { delimiter, join } from 'node:path'

const commands = ['chromium', 'chromium-browser', 'google-chrome', 'google-chrome-stable', 'chrome', 'microsoft-edge']
const applications = [
  '/Applications/Chromium.app/Contents/MacOS/Chromium',
  '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome',
  ...['PROGRAMFILES', 'PROGRAMFILES(X86)', 'LOCALAPPDATA']
    .filter((name) => process.env[name])
    .map((name) => join(process.env[name], 'Google', 'Chrome', 'Application', 'chrome.exe')),
]

/** The system's Chromium or a relative of it, or null. `FLOORLINE_CHROMIUM` names one outright. */
export function findChromium() {
  const named = process.env.FLOORLINE_CHROMIUM
  if (named && existsSync(named)) return named
  const folders = (process.env.PATH ?? '').split(delimiter).filter((folder) => folder !== '')
  const onPath = commands.flatMap((command) => folders.map((folder) => join(folder, command)))
  return [...onPath, ...applications].find((path) => existsSync(path)) ?? null
}
