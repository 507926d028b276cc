'use client'

import Link from 'next/link'
import { CALIBRATION_FORMULAS } from '../../../lib/calibration/formulas.ts'
import { DESIGNED_RUN_LENGTH_MINUTES, LEARNS_FROM } from '../../../lib/drift/control-chart.ts'
import { DRIFT_FORMULAS } from '../../../lib/drift/formulas.ts'
import { NE43 } from '../../../lib/quality/ne43.ts'
import { ASSUMED_PERCENT } from '../../../lib/scale/default-uncertainty.ts'
import { MOST_EVEN_JITTER } from '../../../lib/spectrum/spacing.ts'
import { FALSE_ALARM_LIMIT } from '../../../lib/spectrum/zone-spectrum.ts'
import { AWAY_SHARE } from '../../../lib/statistics/pull-gate.ts'
import { AGREEMENT_FORMULA } from '../../../lib/verdicts/agreement-rule.ts'
import { FORMULAS } from '../../../lib/verdicts/formulas.ts'
import { FactTable } from '../_parts/FactTable.tsx'
import { HelpPage, Note, Points, Section, Steps } from '../_parts/HelpPage.tsx'
import { FormulaTable } from './FormulaTable.tsx'
import { CALIBRATION_ROWS, DRIFT_ROWS, LIVE_ROWS } from './figure-rows.ts'

/** 0.001 as "1 of 1000". */
const ONE_OF = Math.round(1 / FALSE_ALARM_LIMIT)

export function FiguresHelp() {
  return (
    <HelpPage
      path="/help/figures"
      lead="No number stands without its unit, its uncertainty, its limit and its age. Under why on Live and Shift the same formulas stand with your own numbers."
    >
      <Section id="way" title="From register to figure">
        <Steps>
          <li>Registers become counts by their type and word order.</li>
          <li>Counts become mA, V or mV/V by the two pairs in electrical.</li>
          <li>What cannot be right is called bad: no answer, no number, out of range, frozen.</li>
          <li>The reading becomes force: gain × (reading − zero).</li>
          <li>Both sides are put together with the time between them.</li>
          <li>Windows are filled by good samples alone. A loss begins every window anew.</li>
          <li>The verdict holds the figure and its uncertainty against the limit.</li>
        </Steps>
        <Note>
          A bad or stale sample is never a number: not zero, not the last value, never inside. An uncertain one is
          shown, marked, and left out of every figure.
        </Note>
      </Section>
      <Section id="current-levels" title="Levels of a 4 to 20 mA signal">
        <FactTable
          caption="By NAMUR NE 43, in lib/quality/ne43.ts"
          head={['Current', 'Is called']}
          rows={[
            [`at or under ${NE43.failLow} mA`, 'bad: wire break'],
            [`${NE43.failLow} to ${NE43.validLow} mA`, 'uncertain: at the edge of the range'],
            [`${NE43.validLow} to ${NE43.validHigh} mA`, 'good'],
            [`${NE43.validHigh} to ${NE43.failHigh} mA`, 'uncertain: at the edge of the range'],
            [`at or over ${NE43.failHigh} mA`, 'bad: short circuit'],
          ]}
        />
      </Section>
      <Section id="live" title="Figures on Live">
        <FormulaTable
          caption="As the gateway computes them"
          rows={LIVE_ROWS}
          formulas={{ ...FORMULAS, agreement: AGREEMENT_FORMULA }}
        />
        <Points>
          <li>
            Web tension is shown only when the config has a force factor or a geometry; the sum of forces otherwise.
          </li>
          <li>Side difference is positive when the operator side carries more.</li>
          <li>Line of pull is positive towards the operator side, and needs the distance between the cells.</li>
          <li>The rate of the total is for information: a set tension may be changed on purpose.</li>
          <li>Peak to peak is what was seen, and no estimate of what may come.</li>
          <li>
            Beside a winding roll whose diameter is a channel, wrap, force factor and all that is expected follow it.
            Means are told with its mean diameter; a roll that is changed for another begins every window anew.
          </li>
          <li>
            A web only pulls: a side beyond −{100 * AWAY_SHARE} % of its capacity, or a negative total that is not
            slack, pulls away from its arrow. The forces stay; side difference, noise, line of pull and drift wait.
          </li>
          <li>
            Where a zone has a speed or reference channel and it is lost, values stay and their verdicts are unknown.
          </li>
        </Points>
      </Section>
      <Section id="uncertainty" title="What ± means">
        <p>
          The expanded uncertainty U = k·u, at about 95 %, by JCGM 100. Its random part is made of the samples and knows
          that neighbours are alike. Its systematic part comes from the config: gain, zero, force factor, geometry.
        </p>
        <FactTable
          caption="What is assumed where the config gives nothing; such a figure is marked as assumed"
          head={['Input', 'Standard uncertainty', 'Key to set it']}
          rows={[
            ['Gain of a cell', `${ASSUMED_PERCENT.gain} % of the value`, 'u_gain_percent'],
            ['Zero of a cell', `${ASSUMED_PERCENT.zero} % of capacity`, 'u_zero_percent'],
            ['Other channels', `${ASSUMED_PERCENT.value} % of the value`, 'u_percent, u'],
            ['Force factor', `${ASSUMED_PERCENT.forceFactor} % of the value`, 'u_force_factor_percent'],
          ]}
        />
        <Note>These are common practice without a source. Your certificates know better.</Note>
      </Section>
      <Section id="verdict" title="Verdict">
        <Points>
          <li>Inside: the value with its ± lies wholly within the limit.</li>
          <li>Outside: the value with its ± lies wholly beyond it.</li>
          <li>Undecided: the ± reaches over the limit. It says how long would settle it, or that no time will.</li>
          <li>Unknown: there are no good data, or nobody knows whether the web runs steadily.</li>
          <li>Not done: no limit is set, or nobody has made the test.</li>
        </Points>
        <p>
          The rule follows the guard bands of JCGM 106, and is the same on every page, in alarms, reports and the API.
          It is advice for a competent person, no certificate. The limits stand under{' '}
          <Link href="/help/limits">Limits</Link>.
        </p>
      </Section>
      <Section id="shift" title="What has moved over a shift">
        <FormulaTable caption="From one row a minute" rows={DRIFT_ROWS} formulas={DRIFT_FORMULAS} />
        <Points>
          <li>The trend test is that of Mann and Kendall; it takes the larger variance, with Hamed and Rao 1998.</li>
          <li>No slope is taken across a step; steps stand out of how far neighbouring medians differ elsewhere.</li>
          <li>
            Control charts are EWMA and CUSUM of what each minute adds to what the one before foretells. They learn from{' '}
            {LEARNS_FROM} steady minutes, and are set for at most one false signal in twenty shifts of 8 h: an average
            run length of about {DESIGNED_RUN_LENGTH_MINUTES} min, counted over seeded shifts of coloured noise.
          </li>
          <li>How long averaging helps is told by the Allan deviation, as in NIST SP 1065.</li>
        </Points>
        <Note>
          In the code: lib/drift. The tests count how often the interval holds the truth: 93 to 97 % of seeded shifts.
        </Note>
      </Section>
      <Section id="expected" title="What is expected">
        <Points>
          <li>Spans are common tangents of the rollers as circles; the wrap is the angle between them.</li>
          <li>Each side expects its share of (T − m·v²)·(u_out − u_in), along its arrow.</li>
          <li>The uncertainty comes from a budget of every input, as JCGM 100 adds them up.</li>
          <li>A seeded Monte Carlo by JCGM 101 checks that, and takes over where the two disagree.</li>
          <li>A tension of reference is typed, or told by a channel. It carries its own uncertainty.</li>
        </Points>
        <p>
          <Link href="/geometry">Geometry</Link> shows every formula with your numbers. In the code: lib/geometry and
          lib/uncertainty.
        </p>
      </Section>
      <Section id="calibration" title="Calibration with known weights">
        <FormulaTable caption="As Set-up shows them" rows={CALIBRATION_ROWS} formulas={CALIBRATION_FORMULAS} />
      </Section>
      <Section id="spectrum" title="Lines of the spectrum">
        <p>
          A line has the amplitude of the sine that stands there: half its peak to peak, from the power in its lobe less
          the noise. Even samples go to Welch’s method with a Hann window; with gaps, or times that jitter by more than{' '}
          {100 * MOST_EVEN_JITTER} % of their spacing, a sine is fitted by least squares on the samples’ own times.
        </p>
        <p>
          A line is shown when noise alone would show one as high in fewer than 1 of {ONE_OF} spectra. Every source that
          fits is offered; none is claimed. In the code: lib/spectrum.
        </p>
      </Section>
      <Section id="diagnosis" title="Probability of a cause">
        <p>
          By the rule of Bayes, from what each cause predicts for each reading and how often it happens. What was not
          measured counts for nothing. How often is common practice: nobody has counted. In the code: lib/diagnosis.
        </p>
      </Section>
    </HelpPage>
  )
}
