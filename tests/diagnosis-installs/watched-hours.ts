import { ZoneStage, zoneInputs } from '../../gateway/stages/zone-stage.ts'
import { analyseShift } from '../../lib/drift/analyse-shift.ts'
import { shiftOptions } from '../../lib/drift/shift-options.ts'
import { epochMs, type MonotonicMs } from '../../shared/brand.ts'
import type { AuxRole, Sample, Side, ZoneFrame } from '../../shared/sample.ts'
import { AUX_ROLES } from '../../shared/sample.ts'
import type { ShiftAnalysis } from '../../shared/schemas/shift.ts'
import type { ZoneMinute } from '../../shared/schemas/zone-minute.ts'
import type { SimulatedInstall } from './simulated-install.ts'

/** A line that is polled seldom: hours of it are cheap, and a minute is a median of many samples still. */
const EVERY_S = 1
/** A product runs for so long; then the web hangs slack while the next one is made ready, s. */
const PRODUCT_S = 1500
const BETWEEN_S = 300

/**
 * What has moved over hours of running at an install: its frames through the gateway's own stage to minutes, and these
 * through the analysis of a shift. The n-th product runs at `newtons(n)`.
 */
export function watchedHours(at: SimulatedInstall, seconds: number, newtons: (nth: number) => number): ShiftAnalysis {
  const { config, zone, channels, revision, sides } = at.context
  const devices = config.devices.map((device) => ({ ...device, rate_hz: 1 / EVERY_S }))
  const stage = new ZoneStage(zoneInputs({ ...config, devices }, zone))
  const minutes: ZoneMinute[] = []
  const fromMs = at.nowMs
  const watch = (for_: number): void =>
    at.watch(for_, EVERY_S, (tMs, samples) => {
      for (const minute of stage.measure(frameOf(tMs, samples, sides), epochMs)) minutes.push({ ...minute, revision })
    })
  for (let nth = 0; nth * (PRODUCT_S + BETWEEN_S) < seconds; nth += 1) {
    at.running(at.options.speedMMin, newtons(nth))
    watch(PRODUCT_S)
    at.slacken()
    watch(BETWEEN_S)
  }
  const found = analyseShift({ fromMs, toMs: at.nowMs, minutes }, shiftOptions(zone, channels))
  return { ...found, source: 'recorder', sourceSentence: 'From the recorder.' }
}

function frameOf(tMs: MonotonicMs, samples: Readonly<Record<string, Sample>>, sides: readonly Side[]): ZoneFrame {
  const of = <Role extends string>(roles: readonly Role[]) =>
    Object.fromEntries(roles.flatMap((role) => (samples[role] === undefined ? [] : [[role, samples[role]]])))
  return { tMs, skewMs: 0, sides: of<Side>(sides), aux: of<AuxRole>(AUX_ROLES) }
}
