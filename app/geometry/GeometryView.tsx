'use client'

import { useHello } from '../_stream/store.ts'
import { useQuery } from '../_ui/query.ts'
import { useZoneChoice } from '../_ui/zone-choice.ts'
import { SetUpCard } from './_card/SetUpCard.tsx'
import { type Editor, useEditor } from './_model/use-editor.ts'
import styles from './Geometry.module.css'
import { GeometryEditor } from './GeometryEditor.tsx'

/** What should the signals be? */
export function GeometryView() {
  const hello = useHello()
  const { zone, unknownId } = useZoneChoice()
  if (zone === null || hello === null)
    return (
      <div className={styles.empty}>
        <h1>{unknownId !== null ? `There is no zone “${unknownId}”` : 'Geometry'}</h1>
        <p>{adviceFor(hello !== null, unknownId)}</p>
      </div>
    )
  const owner = [hello.zones.plant, hello.zones.line].filter((name) => name != null).join(' · ')
  return <GeometryOfZone key={`${zone.id} ${owner}`} zoneId={zone.id} zoneName={zone.name} owner={owner} />
}

function adviceFor(isGreeted: boolean, unknownId: string | null): string {
  if (unknownId !== null) return 'Choose one of the zones above, or check the address.'
  return isGreeted
    ? 'No zone is set up: name the two cells of a measuring roller under zones in the config.'
    : 'Waiting for the gateway: the web path of the zone appears here as soon as it answers.'
}

function GeometryOfZone({
  zoneId,
  zoneName,
  owner,
}: {
  readonly zoneId: string
  readonly zoneName: string
  readonly owner: string
}) {
  const editor = useEditor(zoneId, owner)
  const isCard = useQuery('card') === '1'
  const { state, facts } = editor
  if (state === null || facts === null) return <NotLoaded editor={editor} zoneName={zoneName} />
  return isCard ? (
    <SetUpCard state={state} facts={facts} owner={owner} />
  ) : (
    <GeometryEditor editor={editor} state={state} facts={facts} />
  )
}

function NotLoaded({ editor, zoneName }: { readonly editor: Editor; readonly zoneName: string }) {
  return (
    <div className={styles.empty}>
      <h1>Geometry: {zoneName}</h1>
      {editor.failures.length === 0 ? (
        <p>Loading the web path…</p>
      ) : (
        <>
          {editor.failures.map(({ code, message, remedy }) => (
            <p key={code + message}>
              {message} {remedy}
            </p>
          ))}
          <p>
            <button type="button" className="control" onClick={editor.reload}>
              Try again
            </button>
          </p>
        </>
      )}
    </div>
  )
}
