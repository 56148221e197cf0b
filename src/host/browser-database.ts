/** One object store of the browser's own database, which survives a crash of the page. */
export interface BrowserStore {
  /** What `ask` answered; rejects where the browser refuses to store. */
  readonly work: <T>(mode: IDBTransactionMode, ask: (store: IDBObjectStore) => IDBRequest) => Promise<T>
}

/** The store `shelf` of `database`, made with `keyPath` when it is not there yet; a connection per request. */
export const browserStore = (database: string, shelf: string, keyPath: string | string[]): BrowserStore => ({
  work: async <T>(mode: IDBTransactionMode, ask: (store: IDBObjectStore) => IDBRequest) => {
    const opening = indexedDB.open(database, 1)
    opening.addEventListener('upgradeneeded', () => opening.result.createObjectStore(shelf, { keyPath }))
    const opened = await answered(opening)
    const answer = await answered(ask(opened.transaction(shelf, mode).objectStore(shelf)))
    opened.close()
    return answer as T
  },
})

const answered = <T>(request: IDBRequest<T>): Promise<T> =>
  new Promise((resolve, reject) => {
    request.addEventListener('success', () => resolve(request.result))
    request.addEventListener('error', () => reject(request.error ?? new Error('no answer')))
  })
