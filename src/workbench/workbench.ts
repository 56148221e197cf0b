import { createContext, useContext } from 'react'
import { useStore } from 'zustand'
import type { Engine } from '../engine/client.ts'
import type { Host } from '../host/host.ts'
import type { WorkbenchState, WorkbenchStore } from './store/state.ts'

/** What every part of the window may reach. */
export interface Workbench {
  readonly store: WorkbenchStore
  /** Holds the bones and follows the hand. */
  readonly engine: Engine
  /** Makes the meshes that are looked at, so that the numbers never wait for a picture. */
  readonly drawer: Engine
  /** Runs what assesses the case many times; its work can be cut off at once. */
  readonly student: Engine
  /** Further students for one study, of which each ends with it. */
  readonly hireStudent: () => Engine
  /** Reads files; its work can be cut off at once. */
  readonly opener: Engine
  readonly host: Host
}

export const WorkbenchContext = createContext<Workbench | null>(null)

export function useWorkbench(): Workbench {
  const workbench = useContext(WorkbenchContext)
  if (!workbench) throw new Error('A part of the window was rendered outside it.')
  return workbench
}

/** A part of the state; the component renders again when that part is another object. */
export const useWorkbenchState = <T>(select: (state: WorkbenchState) => T): T => useStore(useWorkbench().store, select)
