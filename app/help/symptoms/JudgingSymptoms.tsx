import { Section } from '../_parts/HelpPage.tsx'
import { LookFirst, MayBe, Settles, Symptom, Where } from './Symptom.tsx'

/** A number is there, and no verdict; or none that helps. */
export function JudgingSymptoms() {
  return (
    <Section id="judging" title="The verdict does not help">
      <Symptom id="undecided" title="Undecided for ever">
        <MayBe>The uncertainty is wider than the room to the limit, and no averaging makes it narrower.</MayBe>
        <LookFirst>The input that the verdict names: the largest one under why.</LookFirst>
        <Settles>
          A better gain, zero or geometry with its uncertainty in the config; where it says so, a longer average_s. A
          wider limit only with a reason that you would sign.
        </Settles>
        <Where href="/">Live, why.</Where>
      </Symptom>
      <Symptom id="assumed" title="± rests on an assumed uncertainty">
        <MayBe>The config gives no uncertainty for the gain, the zero or the force factor.</MayBe>
        <LookFirst>The certificates of the cells, or your own calibration.</LookFirst>
        <Settles>u_gain_percent and u_zero_percent of the cell; a calibration writes them by itself.</Settles>
        <Where href="/set-up">Set-up: calibration.</Where>
      </Symptom>
      <Symptom id="no-agreement" title="There is no agreement, or no expected force">
        <MayBe>The zone has no geometry, or no tension to compare with.</MayBe>
        <LookFirst>Whether the web path is drawn and saved, and whether the reference gives good samples.</LookFirst>
        <Settles>Save the drawing to the zone; type a set tension or name a reference channel.</Settles>
        <Where href="/geometry">Geometry.</Where>
      </Symptom>
      <Symptom id="unknown" title="Numbers are there, but the verdict is unknown">
        <MayBe>The speed or reference channel is lost: nobody knows whether the web runs steadily.</MayBe>
        <LookFirst>The sentence about steadiness, and those channels.</LookFirst>
        <Settles>
          Bring the channel back. Without such a channel in the zone, steadiness is assumed and marked so.
        </Settles>
        <Where href="/set-up">Set-up: channels.</Where>
      </Symptom>
      <Symptom id="waits" title="A figure waits and waits">
        <MayBe>The window was begun anew: a loss, a change of speed, a slack web, a new config.</MayBe>
        <LookFirst>What it says it waits for.</LookFirst>
        <Settles>Time, if it runs steadily. Too few samples in the window: raise average_s or rate_hz.</Settles>
        <Where href="/">Live.</Where>
      </Symptom>
      <Symptom id="pulls-away" title="Side difference and drift wait: a side pulls away from its arrow">
        <MayBe>A web only pulls. A side that reads the other way is reversed, or its zero is wrong.</MayBe>
        <LookFirst>Arrow, polarity, sign of gain, and zero.</LookFirst>
        <Settles>See above: one side falls when the tension rises.</Settles>
        <Where href="/help/symptoms#one-side-falls">One side falls when the tension rises.</Where>
      </Symptom>
      <Symptom id="too-many-alarms" title="Alarms that nobody believes">
        <MayBe>Limits or delays that do not fit the line.</MayBe>
        <LookFirst>Which alarm calls most, and how many call in 10 min.</LookFirst>
        <Settles>Limits of the site with their source, longer delays. Shelve with a reason meanwhile.</Settles>
        <Where href="/alarms">Alarms.</Where>
      </Symptom>
    </Section>
  )
}
