/** What `npm start` needs when no desktop window can be had; built to one file that the launcher imports. */
export { type Loopback, startLoopback } from './loopback.ts'
