import { contextBridge, ipcRenderer, webUtils } from 'electron'
import type { Bridge, BridgeEvents } from '../src/host/bridge.ts'
import type { ChannelName, EventName, Input, Reply } from './contract.ts'

function ask<Name extends ChannelName>(name: Name, input: Input<Name>): Promise<Reply<Name>> {
  return ipcRenderer.invoke(name, input) as Promise<Reply<Name>>
}

function listen<Name extends EventName>(name: Name, listener: (event: BridgeEvents[Name]) => void): () => void {
  const known: Readonly<Record<EventName, true>> = {
    'menu:chosen': true,
    'files:arrived': true,
    'window:save-and-close': true,
  }
  if (!Object.hasOwn(known, name)) throw new Error('No such event.')
  const inner = (_event: unknown, payload: BridgeEvents[Name]) => listener(payload)
  ipcRenderer.on(name, inner)
  if (name === 'files:arrived') void askForWaiting(listener as (event: BridgeEvents['files:arrived']) => void)
  return () => {
    ipcRenderer.removeListener(name, inner)
  }
}

/** Files may have come before the window could listen. */
async function askForWaiting(listener: (event: BridgeEvents['files:arrived']) => void): Promise<void> {
  const arrival = await ask('files:waiting', undefined)
  if (arrival.files.length > 0 || arrival.refused.length > 0) listener(arrival)
}

const bridge: Bridge = {
  chooseFiles: (what) => ask('files:choose', { what }),
  droppedFile: (file) => ask('files:dropped', { path: webUtils.getPathForFile(file) }),
  recentFiles: () => ask('files:recent', undefined),
  forgetRecentFiles: () => ask('files:forget-recent', undefined),
  reopen: (token) => ask('files:reopen', { token }),
  save: ({ token, name, kind, bytes }) => ask('files:save', { token, name, kind, bytes }),
  writeRecovery: (bytes) => ask('recovery:write', { bytes }),
  recoveries: () => ask('recovery:list', undefined),
  discardRecovery: (token) => ask('recovery:discard', { token }),
  setUnsaved: (unsaved, name) => ask('window:unsaved', { unsaved, name }),
  close: () => ask('window:close', undefined),
  setFullScreen: (on) => ask('window:full-screen', { on }),
  showMenu: (menu) => ask('menu:show', { menu }),
  printPaper: () => ask('print:paper', undefined),
  printPdf: (name) => ask('print:pdf', { name }),
  copyPicture: (png) => ask('clipboard:picture', { png }),
  on: listen,
}

contextBridge.exposeInMainWorld('floorline', bridge)
