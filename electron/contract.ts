import { z } from 'zod'
import type { Result } from '../src/failure.ts'
import type { BridgeEvents, FileTicket, MenuSection, RecentFile, RecoveryFile, SaveKind } from '../src/host/bridge.ts'

z.config({ jitless: true })

interface Channel<Schema extends z.ZodType, Reply> {
  readonly input: Schema
  /** Only for the type. */
  readonly reply?: Reply
}

function channel<Reply>() {
  return <Schema extends z.ZodType>(input: Schema): Channel<Schema, Reply> => ({ input })
}

const largestSaveBytes = 2_000_000_000
const token = z.string().regex(/^[0-9a-f]{32}$/)
const bytes = z.custom<Uint8Array>((data) => data instanceof Uint8Array && data.byteLength <= largestSaveBytes)
const nothing = z.undefined()

/** A name the window proposes: a plain file name with one of our extensions, so that it cannot point anywhere. */
export const proposedName = z
  .string()
  .min(1)
  .max(120)
  .regex(/^[^/\\:*?"<>|\p{Cc}]+$/u)
  .refine((name) => !name.startsWith('.') && !name.endsWith('.') && !name.endsWith(' '))

const saveKinds = [
  'case',
  'lesson',
  'stl',
  'ply',
  'csv',
  'json',
  'html',
  'pdf',
  'png',
  'svg',
  'zip',
] as const satisfies SaveKind[]

const menuItem = z.strictObject({
  id: z.string().min(1).max(80),
  label: z.string().max(120),
  accelerator: z.string().max(60).nullable(),
  enabled: z.boolean(),
  checked: z.boolean().nullable(),
})
const menu: z.ZodType<readonly MenuSection[]> = z
  .array(z.strictObject({ label: z.string().max(60), groups: z.array(z.array(menuItem).max(40)).max(20) }))
  .max(20)

/** Everything the window may ask of the main process: the shape of what it sends, and the type of what comes back. */
export const contract = {
  'files:choose': channel<Result<readonly FileTicket[]>>()(
    z.strictObject({ what: z.enum(['meshes', 'case', 'any', 'table']) }),
  ),
  'files:dropped': channel<Result<FileTicket>>()(z.strictObject({ path: z.string().min(1).max(4096) })),
  'files:waiting': channel<BridgeEvents['files:arrived']>()(nothing),
  'files:recent': channel<readonly RecentFile[]>()(nothing),
  'files:forget-recent': channel<void>()(nothing),
  'files:reopen': channel<Result<FileTicket>>()(z.strictObject({ token })),
  'files:save': channel<Result<FileTicket | null>>()(
    z.strictObject({ token: token.nullable(), name: proposedName, kind: z.enum(saveKinds), bytes }),
  ),
  'recovery:write': channel<Result<void>>()(z.strictObject({ bytes })),
  'recovery:list': channel<readonly RecoveryFile[]>()(nothing),
  'recovery:discard': channel<void>()(z.strictObject({ token: token.nullable() })),
  'window:unsaved': channel<void>()(z.strictObject({ unsaved: z.boolean(), name: z.string().max(200) })),
  'window:close': channel<void>()(nothing),
  'window:full-screen': channel<void>()(z.strictObject({ on: z.boolean() })),
  'menu:show': channel<void>()(z.strictObject({ menu })),
  'print:paper': channel<Result<void>>()(nothing),
  'print:pdf': channel<Result<FileTicket | null>>()(z.strictObject({ name: proposedName })),
  'clipboard:picture': channel<Result<void>>()(z.strictObject({ png: bytes })),
} as const

export type Contract = typeof contract
export type ChannelName = keyof Contract
export type Input<Name extends ChannelName> = z.infer<Contract[Name]['input']>
export type Reply<Name extends ChannelName> = Contract[Name] extends Channel<z.ZodType, infer Answer> ? Answer : never

export type EventName = keyof BridgeEvents

/** One handler per channel; leaving one out does not compile. */
export type Services = { readonly [Name in ChannelName]: (input: Input<Name>) => Promise<Reply<Name>> }
