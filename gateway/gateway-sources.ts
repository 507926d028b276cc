import { setTimeout as wait } from 'node:timers/promises'
import type { ChangeWritten } from '../shared/schemas/config-write.ts'
import type { Access } from './access/access.ts'
import type { AlarmEngine } from './alarms/engine.ts'
import type { LeadingClock } from './clock.ts'
import { calibrationChange } from './config/changes/calibration.ts'
import { geometryEdits } from './config/changes/geometry.ts'
import type { ConfigChange, ConfigFile } from './config/config-file.ts'
import { geometryViewOf } from './config/geometry-view.ts'
import type { LoadedConfig } from './config/load.ts'
import { SharedDiagnoses } from './diagnosis/shared-diagnoses.ts'
import { exportInThread } from './export/export-in-thread.ts'
import { ZoneExports } from './export/zone-exports.ts'
import type { GatewaySources } from './http/route.ts'
import { NoteDesk } from './notes/note-desk.ts'
import type { Pipeline } from './pipeline.ts'
import type { StoreRecorder } from './recorder/store-recorder.ts'
import type { MinuteMemory } from './shift/minute-memory.ts'
import { type MinuteSources, shiftOf } from './shift/shifts.ts'
import { type SummarySources, summaryOf } from './shift/summaries.ts'
import type { Spectra } from './spectrum/spectra.ts'
import { TrainingLink } from './training/training-link.ts'
import { VerificationDesk } from './verification/verification-desk.ts'
import { VERSION } from './version.ts'
import { zoneListOf } from './zone-list.ts'

/** Parts of a running gateway that answers come from; what a new config replaces is asked for anew. */
export interface GatewayParts {
  readonly configPath: string
  readonly loaded: () => LoadedConfig
  readonly pipeline: () => Pipeline
  readonly recorder: StoreRecorder
  readonly minutes: MinuteMemory
  readonly spectra: Spectra
  readonly configFile: ConfigFile
  readonly alarms: AlarmEngine
  readonly access: Access
  readonly clock: LeadingClock
  readonly health: GatewaySources['health']
  readonly readRegisters: GatewaySources['readRegisters']
  /** Writes a change to the config file and brings it into force. */
  readonly change: (change: ConfigChange) => Promise<ChangeWritten>
}

/** What the HTTP routes ask, answered by the parts of one gateway. */
export function gatewaySources(parts: GatewayParts): GatewaySources {
  const { recorder, clock, change, access } = parts
  const config = () => parts.loaded().config
  const epochMs = () => clock.toEpoch(clock.now())
  const { shift, summary } = shiftSources(parts, epochMs)
  const zoneNow: GatewaySources['zoneNow'] = (id) => parts.pipeline().zones.get(id)?.now(clock)
  const spectrum: GatewaySources['spectrum'] = (id, seconds) => {
    const stage = parts.pipeline().zones.get(id)
    return stage === undefined ? undefined : parts.spectra.of(stage, seconds)
  }
  const verifications = new VerificationDesk({
    recorder,
    loaded: parts.loaded,
    shift,
    version: VERSION,
    nowMs: epochMs,
    monotonicMs: clock.now,
    wait,
  })
  const diagnoses = new SharedDiagnoses({
    loaded: parts.loaded,
    now: zoneNow,
    shift,
    spectrum,
    record: (id) => verifications.record(id),
    epochMs,
    monotonicMs: () => performance.now(),
  })
  return {
    health: parts.health,
    zones: () => zoneListOf(config()),
    zoneNow,
    spectrum,
    shift,
    summary,
    readRegisters: parts.readRegisters,
    geometry: (zone) => geometryViewOf(parts.loaded(), zone),
    changeGeometry: (zone, { geometry, ...signed }) =>
      change({ ...signed, action: 'geometry', record: null, edits: (v) => geometryEdits(v, zone, geometry) }),
    calibrate: (channel, calibration) => change(calibrationChange(channel, calibration)),
    revisions: (limit) => parts.configFile.list(parts.loaded().revision, limit),
    history: (zone, { from, to, points }) => recorder.history(zone, from, to, points),
    events: ({ from, to, ...query }) => recorder.events({ fromMs: from, toMs: to, ...query }),
    exports: new ZoneExports({ recorder, config, version: VERSION, nowEpochMs: epochMs, write: exportInThread }),
    alarms: () => parts.alarms.list(),
    alarmDesk: parts.alarms,
    notes: new NoteDesk({ recorder, hasZone: (id) => config().zones.some((zone) => zone.id === id), nowMs: epochMs }),
    verifications,
    training: new TrainingLink(parts.configPath, config),
    diagnosis: (zone, record) => diagnoses.of(zone, record),
    access,
  }
}

function shiftSources(
  { recorder, minutes, loaded }: GatewayParts,
  epochMs: () => number,
): Pick<GatewaySources, 'shift' | 'summary'> {
  const sources = (): MinuteSources => ({ recorder: recorder.canBeAsked ? recorder : undefined, memory: minutes })
  const summarySources = (): SummarySources => ({
    minutes: sources(),
    history: (zone, fromMs, toMs, points) => recorder.history(zone, fromMs, toMs, points),
    events: (query) => recorder.events(query),
  })
  return {
    shift: (zone, query) => shiftOf(sources(), loaded().config, zone, query, epochMs()),
    summary: (zone, query) => summaryOf(summarySources(), loaded().config, zone, query, epochMs()),
  }
}
