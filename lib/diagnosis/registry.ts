import type { FaultId } from '../../shared/faults.ts'
import type { Cause } from './cause.ts'
import { arrowReversed } from './causes/arrow-reversed.ts'
import { arrowsDiffer } from './causes/arrows-differ.ts'
import { binding } from './causes/binding.ts'
import { bothArrowsOff } from './causes/both-arrows-off.ts'
import { bothReversed } from './causes/both-reversed.ts'
import { cellTemperatureGradient } from './causes/cell-temperature-gradient.ts'
import { channelFault } from './causes/channel-fault.ts'
import { clearanceClosed } from './causes/clearance-closed.ts'
import { coarseResolution } from './causes/coarse-resolution.ts'
import { driveInterference } from './causes/drive-interference.ts'
import { filterTooHeavy } from './causes/filter-too-heavy.ts'
import { filtersDiffer } from './causes/filters-differ.ts'
import { gainOneSide } from './causes/gain-one-side.ts'
import { idlerSlipping } from './causes/idler-slipping.ts'
import { intermittentCable } from './causes/intermittent-cable.ts'
import { looseClamp } from './causes/loose-clamp.ts'
import { mainsHum } from './causes/mains-hum.ts'
import { moisture } from './causes/moisture.ts'
import { momentumLeftOut } from './causes/momentum-left-out.ts'
import { neighbourRoller } from './causes/neighbour-roller.ts'
import { openBridge } from './causes/open-bridge.ts'
import { otherPath } from './causes/other-path.ts'
import { overloadedCell } from './causes/overloaded-cell.ts'
import { polarityReversed } from './causes/polarity-reversed.ts'
import { rollerRunout } from './causes/roller-runout.ts'
import { rollerUnbalance } from './causes/roller-unbalance.ts'
import { saturation } from './causes/saturation.ts'
import { sidesSwapped } from './causes/sides-swapped.ts'
import { spanDrift } from './causes/span-drift.ts'
import { spanWrong } from './causes/span-wrong.ts'
import { stuckValue } from './causes/stuck-value.ts'
import { tensionChange } from './causes/tension-change.ts'
import { thermalZeroDrift } from './causes/thermal-zero-drift.ts'
import { tightBearing } from './causes/tight-bearing.ts'
import { webOffCentre } from './causes/web-off-centre.ts'
import { zeroWrong } from './causes/zero-wrong.ts'

/** Every cause that diagnosis weighs. A new one is a file beside these and a row here. */
export const CAUSES: Readonly<Record<FaultId, Cause>> = {
  'arrow-reversed': arrowReversed,
  'polarity-reversed': polarityReversed,
  'both-reversed': bothReversed,
  'both-arrows-off': bothArrowsOff,
  'arrows-differ': arrowsDiffer,
  'gain-one-side': gainOneSide,
  'momentum-left-out': momentumLeftOut,
  'tight-bearing': tightBearing,
  moisture,
  'cell-temperature-gradient': cellTemperatureGradient,
  'channel-fault': channelFault,
  'filters-differ': filtersDiffer,
  'web-off-centre': webOffCentre,
  'sides-swapped': sidesSwapped,
  'zero-wrong': zeroWrong,
  'span-wrong': spanWrong,
  'other-path': otherPath,
  binding,
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
  saturation,
  'coarse-resolution': coarseResolution,
  'filter-too-heavy': filterTooHeavy,
  'stuck-value': stuckValue,
  'idler-slipping': idlerSlipping,
  'tension-change': tensionChange,
}
