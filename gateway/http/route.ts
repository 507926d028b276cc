import type { z } from 'zod'
import type { Need } from '../../shared/roles.ts'
import type { Alarm, AlarmList, AlarmShelving } from '../../shared/schemas/alarms.ts'
import type {
  CalibrationChange,
  ChangeWritten,
  GeometryChangeInput,
  GeometryView,
  RevisionList,
} from '../../shared/schemas/config-write.ts'
import type { EventList, EventsQuery, StoredEvent } from '../../shared/schemas/events.ts'
import type { Health } from '../../shared/schemas/health.ts'
import type { HistoryQuery, ZoneHistory } from '../../shared/schemas/history.ts'
import type { NewBaseline, NewNote } from '../../shared/schemas/notes.ts'
import type { ZoneNow } from '../../shared/schemas/now.ts'
import type { RegisterView, RegisterViewQuery } from '../../shared/schemas/register-view.ts'
import type { ShiftAnalysis, ShiftQuery } from '../../shared/schemas/shift.ts'
import type { ShiftSummary } from '../../shared/schemas/shift-summary.ts'
import type { ZoneSpectrum } from '../../shared/schemas/spectrum.ts'
import type { ZoneDiagnosis } from '../../shared/schemas/zone-diagnosis.ts'
import type { ZoneList } from '../../shared/schemas/zones.ts'
import type { Access } from '../access/access.ts'
import type { Caller } from '../access/caller.ts'
import type { ClientFacts } from '../access/cookie.ts'
import type { ZoneExports } from '../export/zone-exports.ts'
import type { TrainingLink } from '../training/training-link.ts'
import type { VerificationDesk } from '../verification/verification-desk.ts'

/** What the HTTP server asks the rest of the gateway. */
export interface GatewaySources {
  health(): Health
  zones(): ZoneList
  /** undefined: no such zone. */
  zoneNow(id: string): ZoneNow | undefined
  /** undefined: no such zone. */
  spectrum(zone: string, seconds: number): Promise<ZoneSpectrum> | undefined
  /** undefined: no such zone. */
  shift(zone: string, query: ShiftQuery): Promise<ShiftAnalysis | undefined>
  /** undefined: no such zone. Rejects as the recorder does. */
  summary(zone: string, query: ShiftQuery): Promise<ShiftSummary | undefined>
  /** Rejects with an EvenpullError. */
  readRegisters(query: RegisterViewQuery): Promise<RegisterView>
  /** undefined: no such zone. */
  geometry(zone: string): GeometryView | undefined
  /** Both write the config and reject with an EvenpullError when they did not. */
  changeGeometry(zone: string, change: GeometryChangeInput): Promise<ChangeWritten>
  calibrate(channel: string, change: CalibrationChange): Promise<ChangeWritten>
  revisions(limit: number): RevisionList
  /** Both reject with an EvenpullError: no such zone, recording off or stopped. */
  history(zone: string, query: HistoryQuery): Promise<ZoneHistory>
  events(query: EventsQuery): Promise<EventList>
  /** Who may ask for what; users and sessions. */
  readonly access: Access
  /** Samples as files; see ZoneExports for what rejects. */
  readonly exports: Pick<ZoneExports, 'begin' | 'progress' | 'cancel'>
  alarms(): AlarmList
  /** What people do to alarms; each rejects with an EvenpullError when it was not done. */
  readonly alarmDesk: AlarmDesk
  /** What people write into the trail. */
  readonly notes: NoteTaker
  readonly verifications: Verifications
  /** The training desk of a simulated machine; see TrainingLink for what rejects. */
  readonly training: Pick<TrainingLink, 'ask'>
  /** Rejects with an EvenpullError: no such zone or record. */
  diagnosis(zone: string, record: string | undefined): Promise<ZoneDiagnosis>
}

/** What people do to verification records; see VerificationDesk for what rejects. */
type Verifications = Pick<
  VerificationDesk,
  'plan' | 'list' | 'begin' | 'record' | 'entries' | 'check' | 'photo' | 'photos' | 'preview' | 'add'
>

/** Both resolve once it is on the disk, and reject with an EvenpullError when it is not. */
export interface NoteTaker {
  note(zone: string, note: NewNote): Promise<StoredEvent>
  baseline(zone: string, baseline: NewBaseline): Promise<StoredEvent>
}

export interface AlarmDesk {
  acknowledge(id: string, who: string): Promise<Alarm>
  shelve(id: string, shelving: AlarmShelving): Promise<Alarm>
  unshelve(id: string, who: string): Promise<Alarm>
  takeOut(id: string, who: string, reason: string): Promise<Alarm>
  putBack(id: string, who: string): Promise<Alarm>
}

/** What a route answers with; `schema` describes JSON, text stands for itself. */
export type RouteResponse =
  | {
      readonly kind: 'json'
      readonly description: string
      readonly schema: z.ZodType | null
      readonly example: unknown
    }
  | { readonly kind: 'text'; readonly description: string; readonly contentType: string; readonly example: string }
  | { readonly kind: 'file'; readonly description: string; readonly contentTypes: readonly string[] }

export interface PathParameter {
  readonly name: string
  readonly description: string
  readonly example: string
}

/** The JSON body of a route that takes one. */
interface RouteBody<Schema extends z.ZodType> {
  readonly description: string
  readonly schema: Schema
  readonly maxBytes: number
  readonly example: unknown
}

/** A request after the router: its path parameters decoded, its query and body checked. */
export interface RouteInput<Query, Body = undefined> {
  readonly params: Readonly<Record<string, string>>
  readonly query: Query
  readonly body: Body
  /** The body before defaults, for what keeps it as it was written. */
  readonly sent: unknown
  /** Who asks; what the route needs has been checked. A `who` in the body is his name already, where there is a log-in. */
  readonly caller: Caller
  readonly client: ClientFacts
  /** A header of the request, its name in small letters; null where it is not there. */
  header(name: string): string | null
  readonly sources: GatewaySources
}

/** One row of the API. The OpenAPI document is derived from the same rows. */
export interface RouteDefinition<Query extends z.ZodType, Body extends z.ZodType = z.ZodUndefined> {
  /** HEAD comes with GET. */
  readonly method: 'GET' | 'POST' | 'PUT' | 'DELETE'
  /** Segments in braces are parameters. */
  readonly path: string
  readonly summary: string
  readonly parameters: readonly PathParameter[]
  readonly query: Query
  readonly queryExample: Readonly<Record<string, unknown>>
  /** Absent: the request takes none. */
  readonly body?: RouteBody<Body>
  /** Who may ask; refused in one place, before the body is read. */
  readonly needs: Need
  /** What this body needs beyond that. */
  needsFor?(body: z.output<Body>): Need
  readonly response: RouteResponse
  /** Statuses of refusals beside the usual ones, and when they come. */
  readonly refusals: Readonly<Record<number, string>>
  /** Requests per second and client; null is unlimited. */
  readonly perSecond: number | null
  /** The body: an object for JSON, a string for text, a StreamedBody for a file. */
  handle(input: RouteInput<z.output<Query>, z.output<Body>>): unknown
}

/** A route whose query and body types no longer matter to the table it stands in. */
export interface Route extends Omit<RouteDefinition<z.ZodType, z.ZodType>, 'handle' | 'needsFor'> {
  /** Checks query and body (EVP_REQUEST_INVALID), what the body needs (EVP_ROLE), and answers. */
  answer(input: RouteInput<Readonly<Record<string, string>>, unknown>): unknown
}

/** An answer with headers of its own, a cookie for example. */
export class WithHeaders {
  readonly body: unknown
  readonly headers: Readonly<Record<string, string>>

  constructor(body: unknown, headers: Readonly<Record<string, string>>) {
    this.body = body
    this.headers = headers
  }
}

/** A route in words, for the trail. */
export const whatIsAsked = ({ method, path }: Pick<Route, 'method' | 'path'>): string => `${method} ${path}`
