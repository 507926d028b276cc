import type { FaultId } from '../../shared/faults.ts'
import { arrowReversed } from './arrow-reversed.ts'
import { arrowsDiffer } from './arrows-differ.ts'
import { binding } from './binding.ts'
import { bothArrowsOff } from './both-arrows-off.ts'
import { bothReversed } from './both-reversed.ts'
import { cellTemperatureGradient } from './cell-temperature-gradient.ts'
import { channelFault } from './channel-fault.ts'
import { clearanceClosed } from './clearance-closed.ts'
import { coarseResolution } from './coarse-resolution.ts'
import { driveInterference } from './drive-interference.ts'
import type { Fault } from './fault.ts'
import { filterTooHeavy } from './filter-too-heavy.ts'
import { filtersDiffer } from './filters-differ.ts'
import { gainOneSide } from './gain-one-side.ts'
import { idlerSlipping } from './idler-slipping.ts'
import { intermittentCable } from './intermittent-cable.ts'
import { looseClamp } from './loose-clamp.ts'
import { mainsHum } from './mains-hum.ts'
import { moisture } from './moisture.ts'
import { momentumLeftOut } from './momentum-left-out.ts'
import { neighbourRoller } from './neighbour-roller.ts'
import { openBridge } from './open-bridge.ts'
import { otherPath } from './other-path.ts'
import { overloadedCell } from './overloaded-cell.ts'
import { polarityReversed } from './polarity-reversed.ts'
import { rollerRunout } from './roller-runout.ts'
import { rollerUnbalance } from './roller-unbalance.ts'
import { saturation } from './saturation.ts'
import { sidesSwapped } from './sides-swapped.ts'
import { spanDrift } from './span-drift.ts'
import { spanWrong } from './span-wrong.ts'
import { stuckValue } from './stuck-value.ts'
import { tensionChange } from './tension-change.ts'
import { thermalZeroDrift } from './thermal-zero-drift.ts'
import { tightBearing } from './tight-bearing.ts'
import { webOffCentre } from './web-off-centre.ts'
import { zeroWrong } from './zero-wrong.ts'

/** Every fault by its id, in the order of `FAULT_IDS`; the compiler asks for a row of each. */
export const FAULTS: Readonly<Record<FaultId, Fault>> = {
  'arrow-reversed': arrowReversed,
  'polarity-reversed': polarityReversed,
  'both-reversed': bothReversed,
  'both-arrows-off': bothArrowsOff,
  'arrows-differ': arrowsDiffer,
  'gain-one-side': gainOneSide,
  'momentum-left-out': momentumLeftOut,
  'tight-bearing': tightBearing,
  moisture: moisture,
  'cell-temperature-gradient': cellTemperatureGradient,
  'channel-fault': channelFault,
  'filters-differ': filtersDiffer,
  'web-off-centre': webOffCentre,
  'sides-swapped': sidesSwapped,
  'zero-wrong': zeroWrong,
  'span-wrong': spanWrong,
  'other-path': otherPath,
  binding: binding,
  'clearance-closed': clearanceClosed,
  'loose-clamp': looseClamp,
  'overloaded-cell': overloadedCell,
  'thermal-zero-drift': thermalZeroDrift,
  'span-drift': spanDrift,
  'open-bridge': openBridge,
  'intermittent-cable': intermittentCable,
  'mains-hum': mainsHum,
  'drive-interference': driveInterference,
  'roller-unbalance': rollerUnbalance,
  'roller-runout': rollerRunout,
  'neighbour-roller': neighbourRoller,
  saturation: saturation,
  'coarse-resolution': coarseResolution,
  'filter-too-heavy': filterTooHeavy,
  'stuck-value': stuckValue,
  'idler-slipping': idlerSlipping,
  'tension-change': tensionChange,
}
