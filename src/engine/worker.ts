import { createHandlers } from './handlers.ts'
import { type Port, serveJobs } from './serve.ts'

declare const self: Port

serveJobs(self, createHandlers())
