import type { Recorder } from './recorder.ts'
import type { StoreHandle } from './store-handle.ts'

/** What other parts of the gateway keep in the store beside samples. */
export type StoreShelves = Pick<Recorder, 'document' | 'outbox' | 'protection'>

/** @param nowMs time by which a document is dated, epoch ms */
export function storeShelves(store: StoreHandle, nowMs: () => number): StoreShelves {
  return {
    document: {
      get: async (kind, id) => store.opened().reader.call('document', [kind, id]),
      put: async (kind, id, value) =>
        store.opened().writer.call('putDocument', [kind, id, nowMs(), JSON.stringify(value)]),
      list: async (kind, fromId) => store.opened().reader.call('documents', [kind, fromId]),
    },
    outbox: {
      append: async (rows) => store.opened().writer.call('appendOutbox', [rows]),
      after: async (seq, limit) => store.opened().reader.call('outboxAfter', [seq, limit]),
      trim: async (seq) => store.opened().writer.call('trimOutbox', [seq]),
      extent: async () => store.opened().reader.call('outboxExtent', []),
      newest: async (topicPrefix) => store.opened().reader.call('outboxNewest', [topicPrefix]),
    },
    protection: {
      set: async (name, zone, fromMs, toMs) => store.opened().writer.call('protect', [name, zone, fromMs, toMs]),
      end: async (name) => store.opened().writer.call('unprotect', [name]),
    },
  }
}
