import { EvenpullError } from '../../shared/errors.ts'
import type { NewEvent, StoredEvent } from '../../shared/schemas/events.ts'
import type { NewBaseline, NewNote } from '../../shared/schemas/notes.ts'
import { notThere } from '../not-there.ts'
import type { Recorder } from '../recorder/recorder.ts'

export interface NoteDeskOptions {
  readonly recorder: Pick<Recorder, 'event' | 'events' | 'status' | 'document'>
  readonly hasZone: (id: string) => boolean
  readonly nowMs: () => number
}

/** As many baselines are looked through for one that was sent before. */
const BASELINES = 100
/** As many notes of one millisecond. */
const NOTES = 1000

/**
 * What people write into the trail. A note resolves once it is on the disk, and not before: the page keeps it until
 * then. Sent again with the same key it is the same note, so that a lost answer doubles nothing.
 */
export class NoteDesk {
  readonly #options: NoteDeskOptions
  readonly #underWay = new Map<string, Promise<StoredEvent>>()

  constructor(options: NoteDeskOptions) {
    this.#options = options
  }

  /** A note at the time it is about. Rejects with EVP_NOT_FOUND, EVP_RECORDER_OFF or EVP_RECORDER_STOPPED. */
  note(zone: string, { key, who, text, timeMs }: NewNote): Promise<StoredEvent> {
    return this.#once(zone, key, async () => {
      const { events } = await this.#options.recorder.events({
        zone,
        kind: 'note',
        fromMs: timeMs,
        toMs: timeMs + 1,
        limit: NOTES,
      })
      const data = { key, writtenMs: this.#options.nowMs() }
      return withKey(events, key) ?? this.#record({ kind: 'note', zone, who, text, timeMs, data })
    })
  }

  /** The stretch in which a zone was right. The newest one named is the one later shifts are compared with. */
  baseline(zone: string, { key, who, text, fromMs, toMs }: NewBaseline): Promise<StoredEvent> {
    return this.#once(zone, key, async () => {
      const { recorder, nowMs } = this.#options
      const { events } = await recorder.events({ zone, kind: 'baseline', limit: BASELINES })
      const before = withKey(events, key)
      if (before !== undefined) return before
      const timeMs = nowMs()
      await recorder.document.put('baseline', zone, { fromMs, toMs, text, who, namedMs: timeMs })
      return this.#record({ kind: 'baseline', zone, who, text, timeMs, data: { key, fromMs, toMs } })
    })
  }

  #once(zone: string, key: string, make: () => Promise<StoredEvent>): Promise<StoredEvent> {
    const known = this.#underWay.get(key)
    if (known !== undefined) return known
    const made = (async () => {
      this.#refuseUnkept(zone)
      return make()
    })().finally(() => this.#underWay.delete(key))
    this.#underWay.set(key, made)
    return made
  }

  /** An event that only memory would hold is refused: whoever wrote it still has it, and sends it again. */
  #refuseUnkept(zone: string): void {
    const { hasZone, recorder } = this.#options
    if (!hasZone(zone)) throw notThere('zone', zone)
    const { state, sentence } = recorder.status()
    if (state === 'off') throw new EvenpullError('EVP_RECORDER_OFF', sentence)
    if (state === 'stopped') throw new EvenpullError('EVP_RECORDER_STOPPED', sentence)
  }

  #record(event: NewEvent): Promise<StoredEvent> {
    return this.#options.recorder.event(event)
  }
}

const withKey = (events: readonly StoredEvent[], key: string): StoredEvent | undefined =>
  events.find(({ data }) => data.key === key)
