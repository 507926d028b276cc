'use client'

import Link from 'next/link'
import { TOO_LARGE_UNDER } from '../../../lib/geometry/capacity.ts'
import { SMALL_WRAP } from '../../../lib/geometry/sensitivity.ts'
import { END_CLEARANCE } from '../../../lib/geometry/shaft-growth.ts'
import { degrees } from '../../../lib/geometry/vector.ts'
import { ARROW_LIMIT } from '../../../lib/geometry/warnings.ts'
import { BEYOND_BELIEF } from '../../../lib/quality/capacity.ts'
import { AWAY_SHARE } from '../../../lib/statistics/pull-gate.ts'
import { SLACK_SHARE_OF_CAPACITY } from '../../../lib/statistics/zone-statistics-options.ts'
import { AGREEMENT_LIMITS } from '../../../lib/verdicts/agreement-rule.ts'
import { gatewayAlarms, zoneAlarms } from '../../../shared/schemas/config/alarms.ts'
import { qualityRules } from '../../../shared/schemas/config/channel.ts'
import { zone } from '../../../shared/schemas/config/zone.ts'
import { CopyText } from '../../_ui/CopyText.tsx'
import { OWN_LIMITS } from '../_model/first-connection.ts'
import { FactTable } from '../_parts/FactTable.tsx'
import { HelpPage, Note, Points, Section } from '../_parts/HelpPage.tsx'
import { alarmRows, keptRows, runningRows, verificationRows } from './limit-rows.ts'

const CP = 'common practice, no source'
const HEAD = ['Key', 'Holds', 'As it comes', 'Where it is from']
const percent = (share: number): string => `${Number((100 * share).toPrecision(3))} %`

export function LimitsHelp() {
  const { deadband_percent: deadband, unknown_after_s: unknownAfter } = zoneAlarms.parse({}).agreement
  const ofGateway = gatewayAlarms.parse({})
  const { stuck_after_s: stuckAfter } = qualityRules.parse({})
  const steady = zone.shape.steady.parse(undefined)
  return (
    <HelpPage
      path="/help/limits"
      lead="No verdict without a limit, and no limit without where it came from. Most of these are common practice without a source: a start, until the site sets its own."
    >
      <Section id="own" title="Set your own">
        <p>
          In the zone, in the config file. A bare number is told as set in the config; with a source, the source is told
          wherever the limit is.
        </p>
        <CopyText text={OWN_LIMITS} label="Limits of a zone" />
        <p>
          Limits of the tests that prove an install are keys of verification in the zone. Every change is a revision
          with who and when. A verification record keeps the limits it was judged by.
        </p>
      </Section>
      <Section id="running" title="Running figures">
        <FactTable caption="Keys of limits in a zone" head={HEAD} rows={runningRows()} />
        <FactTable
          caption="Agreement of measured with expected; the larger of the two counts"
          head={['Against', 'Share of expected', 'Share of span', 'Where it is from']}
          rows={Object.entries(AGREEMENT_LIMITS).map(([against, { ofExpected, ofSpan, source }]) => [
            against,
            percent(ofExpected),
            percent(ofSpan),
            source,
          ])}
        />
        <Note>Span is the indicated force from the bare roller to the zone’s largest tension.</Note>
      </Section>
      <Section id="signals" title="Signals and the pull of the web">
        <FactTable
          caption="What a sample or a side is held to"
          head={['What', 'As it comes', 'Where it is from', 'Key']}
          rows={[
            ['Levels of 4 to 20 mA', 'see How each number is got', 'NAMUR NE 43', 'signal'],
            ['Frozen: the same raw value for', `${stuckAfter} s`, CP, 'stuck_after_s'],
            ['Too old: nothing new for', '3 poll periods, at least 0.5 s', CP, 'stale_after_s'],
            ['Uncertain: force over', '100 % of rated capacity', 'rating of the cell', 'capacity'],
            ['Bad: force over', `${percent(BEYOND_BELIEF)} of rated capacity`, CP, 'capacity'],
            ['Slack web: total under', `${percent(SLACK_SHARE_OF_CAPACITY)} of capacity`, CP, 'slack_below_n'],
            ['Pulls away from its arrow: under', `−${percent(AWAY_SHARE)} of capacity`, CP, 'none'],
            ['Steady: change of speed up to', `${steady.speed_percent} % in the window`, CP, 'steady: speed_percent'],
            [
              'Steady: change of the reference up to',
              `${steady.reference_percent} % in the window`,
              CP,
              'steady: reference_percent',
            ],
          ]}
        />
      </Section>
      <Section id="geometry" title="Warnings of Geometry">
        <FactTable
          caption="What a drawing is held to"
          head={['What', 'As it comes', 'Where it is from']}
          rows={[
            ['Load arrow off its target', `${degrees(ARROW_LIMIT).toFixed(0)}°`, CP],
            ['Both arrows against each other', `${degrees(ARROW_LIMIT).toFixed(0)}°`, CP],
            ['Wrap under', `${degrees(SMALL_WRAP).toFixed(0)}°`, CP],
            ['Cell too large: smallest force under', `${percent(TOO_LARGE_UNDER)} of capacity`, CP],
            [
              'End clearance',
              `${(1000 * END_CLEARANCE.least).toFixed(1)} to ${(1000 * END_CLEARANCE.most).toFixed(1)} mm`,
              CP,
            ],
          ]}
        />
      </Section>
      <Section id="verification" title="Tests that prove an install">
        <FactTable caption="Keys of verification in a zone" head={HEAD} rows={verificationRows()} />
        <Note>
          Creep under a weight that hangs is held to OIML R 60, for the class on the cell’s certificate. The terms of a
          calibration are those of OIML R 60 and ISO 376, told in % of span.
        </Note>
      </Section>
      <Section id="alarms" title="Alarms">
        <FactTable
          caption="Keys of alarms in a zone, and in the gateway"
          head={['Key', 'Looks at', 'Priority', 'On after', 'Off after']}
          rows={alarmRows()}
        />
        <Points>
          <li>An alarm comes when its verdict stays outside for the on-delay. Undecided never alarms.</li>
          <li>It goes once the value is inside by {deadband} % of the limit, for the off-delay.</li>
          <li>Without data for {unknownAfter} s it is unknown, never normal by silence.</li>
          <li>It is put aside for {ofGateway.longest_shelving_h} h at most, with a reason.</li>
          <li>Free space is little under {ofGateway.disk_low_below_gb} GB.</li>
        </Points>
        <Note>
          The states are those that IEC 62682 and ANSI/ISA-18.2 describe in general terms. How many called in 10 min is
          held to ANSI/ISA-18.2: about 1 acceptable, 2 manageable, more than 10 a flood. The delays are common practice
          without a source.
        </Note>
      </Section>
      <Section id="kept" title="How long things are kept">
        <FactTable caption="Keys of keep in recorder" head={['Key', 'What', 'Days', 'At most']} rows={keptRows()} />
        <Note>Common practice without a source. Evidence of a verification is never deleted by age.</Note>
      </Section>
      <Section id="rule" title="The rule">
        <p>
          Inside, outside, undecided, unknown and not done are told under{' '}
          <Link href="/help/figures#verdict">How each number is got</Link>.
        </p>
      </Section>
    </HelpPage>
  )
}
