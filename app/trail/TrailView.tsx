'use client'

import { EVENT_KINDS } from '../../shared/schemas/events.ts'
import { useHello } from '../_stream/store.ts'
import { setQuery, useQuery } from '../_ui/query.ts'
import { EventRow } from './EventRow.tsx'
import { KIND_WORDS } from './event-words.ts'
import styles from './Trail.module.css'
import { filterFault, kindIn, type TrailFilter } from './trail-filter.ts'
import { useTrail } from './use-trail.ts'

/** The filter's names in the address; `zone` there is the zone of other pages. */
const QUERY = { kind: 'kind', zone: 'about', from: 'from', to: 'to' } as const

/** What was done, when and by whom. */
export function TrailView() {
  const filter: TrailFilter = {
    kind: kindIn(useQuery(QUERY.kind)),
    zone: useQuery(QUERY.zone),
    from: useQuery(QUERY.from),
    to: useQuery(QUERY.to),
  }
  const isFiltered = Object.values(filter).some((part) => part !== null)
  const { events, failure, hasOlder, isBusy, older, again } = useTrail(filter)
  return (
    <div className={styles.page} data-testid="trail">
      <header className={styles.intro}>
        <h1>Trail</h1>
        <p className={styles.lead}>
          What was done, when and by whom. Nothing here is ever changed; a correction is a new line.
        </p>
      </header>
      <Filter filter={filter} isBusy={isBusy} onAgain={again} />
      {failure !== null && (
        <p className={styles.failure} role="alert" data-testid="trail-failure">
          <strong>Not read.</strong> {failure.message} {failure.remedy}
        </p>
      )}
      {events === null && failure === null && <p className={styles.soft}>Asking the gateway…</p>}
      {events !== null && events.length === 0 && <Empty isFiltered={isFiltered} />}
      {events !== null && events.length > 0 && (
        <ol className={styles.list} data-testid="trail-list">
          {events.map((event) => (
            <EventRow key={event.id} event={event} />
          ))}
        </ol>
      )}
      {events !== null && events.length > 0 && (
        <p className={styles.end}>
          {hasOlder ? (
            <button type="button" className="control" disabled={isBusy} onClick={older} data-testid="trail-older">
              {isBusy ? 'Reading…' : 'Older ones'}
            </button>
          ) : (
            <span data-testid="trail-end">
              {isFiltered ? 'These are all that fit the filter.' : 'This is the beginning of the trail.'}
            </span>
          )}
        </p>
      )}
    </div>
  )
}

function Empty({ isFiltered }: { readonly isFiltered: boolean }) {
  return (
    <p data-testid="trail-empty">
      {isFiltered
        ? 'Nothing fits this filter: widen the time or show every kind.'
        : 'Nothing has been recorded yet. Log-ins, changes of the config, devices lost and back, alarms and notes appear here.'}
    </p>
  )
}

interface FilterProps {
  readonly filter: TrailFilter
  readonly isBusy: boolean
  readonly onAgain: () => void
}

function Filter({ filter, isBusy, onAgain }: FilterProps) {
  const zones = useHello()?.zones.zones ?? []
  const fault = filterFault(filter)
  const choose = (part: keyof TrailFilter) => (event: { target: { value: string } }) =>
    setQuery(QUERY[part], event.target.value === '' ? null : event.target.value, 'replace')
  const isZoneKnown = filter.zone === null || zones.some(({ id }) => id === filter.zone)
  return (
    <form className={`${styles.filter} not-printed`} aria-label="Filter" onSubmit={(event) => event.preventDefault()}>
      <label>
        Kind
        <select value={filter.kind ?? ''} onChange={choose('kind')} data-testid="trail-kind">
          <option value="">every kind</option>
          {EVENT_KINDS.map((kind) => (
            <option key={kind} value={kind}>
              {KIND_WORDS[kind]}
            </option>
          ))}
        </select>
      </label>
      <label>
        Zone
        <select value={filter.zone ?? ''} onChange={choose('zone')} data-testid="trail-zone">
          <option value="">every zone and none</option>
          {!isZoneKnown && <option value={filter.zone ?? ''}>{filter.zone}</option>}
          {zones.map(({ id, name }) => (
            <option key={id} value={id}>
              {name}
            </option>
          ))}
        </select>
      </label>
      <label>
        From when
        <input type="datetime-local" value={filter.from ?? ''} onChange={choose('from')} data-testid="trail-from" />
      </label>
      <label>
        Until when
        <input
          type="datetime-local"
          value={filter.to ?? ''}
          aria-invalid={fault !== null}
          onChange={choose('to')}
          data-testid="trail-to"
        />
      </label>
      <div className={styles.tools}>
        <button
          type="button"
          className="control"
          onClick={() => {
            for (const name of Object.values(QUERY)) setQuery(name, null, 'replace')
          }}
        >
          Show all
        </button>
        <button type="button" className="control" disabled={isBusy} onClick={onAgain} data-testid="trail-again">
          Look again
        </button>
      </div>
      {fault !== null && (
        <p className={styles.fault} role="alert">
          {fault}
        </p>
      )}
    </form>
  )
}
