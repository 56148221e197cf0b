import { spawn } from 'node:child_process'
import { join } from 'node:path'
import { fileURLToPath, pathToFileURL } from 'node:url'
import { parseArgs } from 'node:util'
import { ensureDependencies } from '../src/cli/dependencies.mjs'
import { findChromium } from '../src/cli/find-chromium.mjs'
import { ensureBuild } from '../src/cli/fresh-build.mjs'
import { desktopBinary } from './desktop-binary.mjs'

const root = fileURLToPath(new URL('../', import.meta.url))
const usualPort = 4810
const diedAtOnceMs = 5_000
const usage = `npm start [-- [--no-open] [--port N] [FILE …]]
  --no-open   open no window: serve the program on this machine only and print its address
  --port N    the port to serve on when no desktop window is opened (${usualPort}, or any free one)`

/** Installs and builds what is missing, then opens the desktop window, else a browser window, else prints an address. */
async function start() {
  const { open, port, files } = options()
  ensureDependencies(root)
  ensureBuild(root, ['window', 'shell', 'demo'])
  const reason = open ? await openDesktop(files) : 'None was asked for'
  if (reason === null) return
  console.log(`No desktop window: ${reason}. Serving the same program to this machine only.`)
  await serve(port, open && hasDisplay() ? findChromium() : null)
}

function options() {
  try {
    const { values, positionals } = parseArgs({
      options: { 'no-open': { type: 'boolean' }, port: { type: 'string' }, help: { type: 'boolean' } },
      allowPositionals: true,
    })
    if (values.help) {
      console.log(usage)
      process.exit(0)
    }
    const port = values.port === undefined ? usualPort : Number(values.port)
    if (!Number.isInteger(port) || port < 0 || port > 65_535) throw new Error('--port takes a number from 0 to 65535.')
    return { open: !values['no-open'], port, files: positionals }
  } catch (problem) {
    console.error(`${problem.message}\n${usage}`)
    process.exit(2)
  }
}

/** Null when the desktop window was opened and closed again; otherwise why there is none. */
async function openDesktop(files) {
  if (!hasDisplay()) return 'there is no display'
  const binary = desktopBinary(root)
  if (!binary) return "Electron's binary is not here and could not be fetched"
  const begun = Date.now()
  const code = await run(binary, [...(isRoot() ? ['--no-sandbox'] : []), root, ...files])
  if (code !== 0 && Date.now() - begun < diedAtOnceMs) return `Electron ended at once (code ${code})`
  process.exitCode = code
  return null
}

async function serve(port, browser) {
  const { startLoopback } = await import(pathToFileURL(join(root, 'dist', 'electron', 'serve.js')).href)
  const bundle = { windowFolder: join(root, 'dist', 'window'), demoFolder: join(root, 'dist', 'demo') }
  const server = await startLoopback(bundle, port)
  console.log(`Floorline: ${server.address} (Ctrl+C ends it)`)
  for (const signal of ['SIGINT', 'SIGTERM']) process.once(signal, () => server.close().then(() => process.exit(0)))
  if (!browser) return
  const begun = Date.now()
  const code = await run(browser, browserFlags(server.address))
  if (code !== 0 && Date.now() - begun < diedAtOnceMs) {
    console.log('The browser ended at once: open the address above in a browser.')
    return
  }
  await server.close()
}

function browserFlags(address) {
  return [
    `--app=${address}`,
    `--user-data-dir=${join(root, '.cache', 'window-profile')}`,
    '--window-size=1440,920',
    '--no-first-run',
    '--no-default-browser-check',
    '--disable-background-networking',
    '--disable-component-update',
    '--disable-sync',
    '--no-pings',
    ...(isRoot() ? ['--no-sandbox', '--test-type'] : []),
  ]
}

function run(command, args) {
  return new Promise((resolve) => {
    const child = spawn(command, args, { stdio: ['ignore', 'ignore', 'ignore'] })
    child.once('error', () => resolve(127))
    child.once('exit', (code) => resolve(code ?? 1))
    for (const signal of ['SIGINT', 'SIGTERM']) process.once(signal, () => child.kill(signal))
  })
}

function hasDisplay() {
  return process.platform !== 'linux' || Boolean(process.env.DISPLAY || process.env.WAYLAND_DISPLAY)
}

function isRoot() {
  return process.platform === 'linux' && process.getuid() === 0
}

try {
  await start()
} catch (problem) {
  console.error(problem instanceof Error ? problem.message : String(problem))
  process.exitCode = 1
}
