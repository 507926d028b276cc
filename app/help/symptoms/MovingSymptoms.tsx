import { Section } from '../_parts/HelpPage.tsx'
import { GuardsClosed, LockedOut, LookFirst, MayBe, Settles, Symptom, Where } from './Symptom.tsx'

/** What moves over seconds, turns and hours. */
export function MovingSymptoms() {
  return (
    <Section id="moving" title="It moves, swings or jumps">
      <Symptom
        id="as-it-warms"
        title="The sides move apart as the machine warms"
        faults={['clearance-closed', 'cell-temperature-gradient', 'thermal-zero-drift']}
      >
        <MayBe>The shaft has grown into its end clearance, or the zeros follow the temperature.</MayBe>
        <LookFirst>The end clearance when cold, and what stands near one of the cells.</LookFirst>
        <Settles>A record from cold to warm beside the temperature: at once from one point on, or smoothly.</Settles>
        <Where href="/verification">Verification, Warm.</Where>
        <LockedOut />
      </Symptom>
      <Symptom id="zero-wanders" title="A zero wanders slowly, more after washing" faults={['moisture']}>
        <MayBe>Water in cell, connector or cable.</MayBe>
        <LookFirst>Connectors and glands.</LookFirst>
        <Settles>Insulation with the amplifier disconnected, at no more voltage than the cell’s maker allows.</Settles>
        <Where href="/verification">Verification, Electric: insulation.</Where>
        <LockedOut />
      </Symptom>
      <Symptom id="steps" title="It jumps, and does not repeat" faults={['loose-clamp', 'overloaded-cell']}>
        <MayBe>A loose clamp or bolt; a cell that was overloaded.</MayBe>
        <LookFirst>The steps on Shift, and what happened at that moment.</LookFirst>
        <Settles>The known weight again: does it repeat? Tighten crosswise, as the maker says.</Settles>
        <Where href="/shift">Shift: steps stand apart from drifts.</Where>
        <LockedOut />
      </Symptom>
      <Symptom id="ratio-drifts" title="The ratio to expected drifts over weeks" faults={['span-drift']}>
        <MayBe>The gain of a cell or of the amplifier moves with time.</MayBe>
        <LookFirst>The drift of the span, apart from that of the zero.</LookFirst>
        <Settles>Two tensions at two times, or a known weight against the earlier record.</Settles>
        <Where href="/shift">Shift: drift of the span.</Where>
        <LockedOut />
      </Symptom>
      <Symptom
        id="once-per-turn"
        title="A line in the spectrum once per turn"
        faults={['roller-runout', 'roller-unbalance', 'neighbour-roller']}
      >
        <MayBe>Runout, unbalance, or the turn of a neighbouring roller.</MayBe>
        <LookFirst>The list under the line: every roller whose turn rate fits is offered.</LookFirst>
        <Settles>Two speeds: runout stays about as high, unbalance grows with the square of speed.</Settles>
        <Where href="/">Live, Spectrum.</Where>
        <GuardsClosed />
      </Symptom>
      <Symptom id="hum" title="A line at 50 or 60 Hz, or where it folds to" faults={['mains-hum']}>
        <MayBe>A ground loop, or a shield open at the wrong end.</MayBe>
        <LookFirst>Whether the line is there with the machine stopped.</LookFirst>
        <Settles>The spectrum stopped against running. Shields and leads as amplifier and site rules say.</Settles>
        <Where href="/">Live, Spectrum.</Where>
        <LockedOut />
      </Symptom>
      <Symptom id="drive-noise" title="Noise comes when the drive is enabled" faults={['drive-interference']}>
        <MayBe>The drive couples into cables or supply.</MayBe>
        <LookFirst>How signal and motor cables are led.</LookFirst>
        <Settles>Noise with the drive enabled and without, no web running.</Settles>
        <Where href="/verification">Verification, Electric: noise with the drive.</Where>
        <GuardsClosed />
      </Symptom>
      <Symptom id="slips" title="The roller turns slower than the web" faults={['idler-slipping']}>
        <MayBe>The web slides over the roller: air under it, little wrap, or a bearing that drags.</MayBe>
        <LookFirst>The turn rate against speed and diameter.</LookFirst>
        <Settles>The line once per turn, or a channel that counts turns of the roller.</Settles>
        <Where href="/geometry">Geometry: warnings of air film and grip.</Where>
        <GuardsClosed />
      </Symptom>
      <Symptom id="flat-tops" title="The trace has flat tops" faults={['saturation']}>
        <MayBe>The range of amplifier or cell is too small for what comes.</MayBe>
        <LookFirst>Where the trace stops, in mA or V: the end of the range?</LookFirst>
        <Settles>The check of capacity and output on Geometry.</Settles>
        <Where href="/geometry">Geometry: do the cells fit?</Where>
      </Symptom>
      <Symptom id="staircase" title="The trace is a staircase" faults={['coarse-resolution']}>
        <MayBe>One step of the register is much force: too large a cell, or a coarse register.</MayBe>
        <LookFirst>Another register of the amplifier with more digits.</LookFirst>
        <Settles>Resolution as a share of span.</Settles>
        <Where href="/verification">Verification, Paper: resolution.</Where>
      </Symptom>
    </Section>
  )
}
