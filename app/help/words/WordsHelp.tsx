'use client'

import type { ReactNode } from 'react'
import styles from '../_parts/Help.module.css'
import { HelpPage, Section } from '../_parts/HelpPage.tsx'

function Word({ id, name, children }: { readonly id: string; readonly name: string; readonly children: ReactNode }) {
  return (
    <div id={id}>
      <dt>{name}</dt>
      <dd>{children}</dd>
    </div>
  )
}

export function WordsHelp() {
  return (
    <HelpPage
      path="/help/words"
      lead="Most are the trade’s or the standards’ own. Side difference, line of pull and force factor are plain words chosen here."
    >
      <Section id="machine" title="At the machine">
        <dl className={styles.words}>
          <Word id="web" name="Web">
            Paper, film, foil or nonwoven as it runs through the machine in one long piece.
          </Word>
          <Word id="span" name="Span of web">
            The free web between two rollers. Span alone also means a range: see below.
          </Word>
          <Word id="zone" name="Zone">
            A part of the line with one tension, and one measuring roller in it.
          </Word>
          <Word id="idler" name="Idler">
            A roller that the web turns.
          </Word>
          <Word id="measuring-roller" name="Measuring roller">
            The idler that stands on the load cells.
          </Word>
          <Word id="drive-side" name="Drive side, operator side">
            The two ends of a roller. Positions and differences count towards the operator side.
          </Word>
          <Word id="wrap" name="Wrap angle">
            How far the web turns round the roller.
          </Word>
          <Word id="resultant" name="Resultant">
            The one force that the web puts on the roller. It points along the middle between both spans.
          </Word>
          <Word id="bisector" name="Bisector">
            The direction of the resultant, where both spans pull alike.
          </Word>
          <Word id="dead-shaft" name="Dead shaft, live shaft">
            A shaft that stands still in the roller, or turns with it.
          </Word>
          <Word id="cantilever" name="Cantilever roller">
            A roller held at one end, on one cell. It has no side difference and no line of pull.
          </Word>
          <Word id="end-clearance" name="End clearance">
            Room for the shaft to grow when it warms.
          </Word>
          <Word id="free-play" name="Free play">
            The little movement that a cell must keep, so that no force goes past it.
          </Word>
          <Word id="runout" name="Runout">
            How far the roller’s surface is off its axis.
          </Word>
          <Word id="unbalance" name="Unbalance">
            How far the roller’s mass is off its axis.
          </Word>
          <Word id="basis-weight" name="Basis weight">
            Mass of the web for each square metre.
          </Word>
          <Word id="momentum" name="Momentum m·v²">
            What the moving web’s own mass takes off the force on the roller. It is small when slow and grows with the
            square of speed.
          </Word>
        </dl>
      </Section>
      <Section id="cells" title="Cells and signals">
        <dl className={styles.words}>
          <Word id="load-cell" name="Load cell">
            It turns force into an electrical signal. Here there is one at each end.
          </Word>
          <Word id="load-arrow" name="Load arrow">
            The direction in which a cell measures; the sensing axis.
          </Word>
          <Word id="capacity" name="Rated capacity">
            The force up to which the maker vouches for the cell.
          </Word>
          <Word id="rated-output" name="Rated output">
            Signal at rated capacity, in mV for each V of excitation.
          </Word>
          <Word id="excitation" name="Excitation">
            The voltage that feeds the cell’s bridge.
          </Word>
          <Word id="live-zero" name="Live zero">
            A signal that is not nothing at no force: 4 mA of 4 to 20 mA.
          </Word>
          <Word id="zero" name="Zero">
            The reading with the bare roller.
          </Word>
          <Word id="tare" name="Tare">
            Taking off what the bare roller weighs. The zero does it here.
          </Word>
          <Word id="gain" name="Gain">
            Force for each mA, V or mV/V.
          </Word>
          <Word id="measuring-span" name="Span">
            The indicated force from the bare roller to the zone’s largest tension; many limits are a share of it.
          </Word>
          <Word id="counts" name="Counts">
            The whole number that stands in a register.
          </Word>
          <Word id="quality" name="Quality">
            Good, uncertain or bad: travels with every sample, with its reason.
          </Word>
        </dl>
      </Section>
      <Section id="figures" title="Figures">
        <dl className={styles.words}>
          <Word id="force-factor" name="Force factor">
            Newtons along the arrows for each newton of web tension. It follows from wrap and arrows.
          </Word>
          <Word id="side-difference" name="Side difference">
            Operator side less drive side, as a share of their sum. Also called imbalance.
          </Word>
          <Word id="line-of-pull" name="Line of pull">
            Where across the roller the resultant acts, from the middle.
          </Word>
          <Word id="expected" name="Expected">
            What each side should read by geometry, speed and set tension.
          </Word>
          <Word id="agreement" name="Agreement">
            Measured less expected.
          </Word>
          <Word id="reference" name="Reference">
            A tension known from elsewhere: a set value, a weight, a dancer.
          </Word>
          <Word id="noise" name="Noise">
            How far a side scatters once slow motion is taken off; one standard deviation.
          </Word>
          <Word id="drift" name="Drift">
            How fast something moves over hours, told as a rate.
          </Word>
          <Word id="step" name="Step">
            A change at one moment. It is told apart from drift.
          </Word>
          <Word id="uncertainty" name="Uncertainty, ±">
            The range in which the true value lies with about 95 % confidence, as far as what was put in is right.
          </Word>
          <Word id="steady" name="Steady">
            Speed and set tension stay as they are, and all samples are good.
          </Word>
          <Word id="slack" name="Slack">
            So little total force that the web hangs loose.
          </Word>
          <Word id="known-weight" name="Known-weight calibration">
            Weights on a rope along the web path: they put a known force on the roller.
          </Word>
          <Word id="as-found" name="As found, as left">
            What was measured before anything was changed, and after everything was.
          </Word>
          <Word id="verdict" name="Verdict">
            Inside, outside, undecided, unknown, or not done. Advice, no certificate.
          </Word>
          <Word id="alias" name="Alias">
            A fast oscillation that slow sampling shows as a slow one.
          </Word>
        </dl>
      </Section>
      <Section id="keeping" title="Keeping">
        <dl className={styles.words}>
          <Word id="gateway" name="Gateway">
            The program that reads the amplifiers and serves these pages.
          </Word>
          <Word id="store" name="Store">
            The file beside the config that holds everything recorded.
          </Word>
          <Word id="roll-up" name="Roll-up">
            Smallest, largest and mean of a stretch of 10 s, 1 min, 10 min or 1 h.
          </Word>
          <Word id="revision" name="Revision">
            A text of the config that was in force, with who and when.
          </Word>
          <Word id="trail" name="Trail">
            What happened and who did what, line by line.
          </Word>
          <Word id="record" name="Verification record">
            The results of the tests that prove an install, closed by a signature.
          </Word>
          <Word id="broker" name="Broker">
            A server of the plant that hands messages on to whoever asks for them.
          </Word>
        </dl>
      </Section>
    </HelpPage>
  )
}
