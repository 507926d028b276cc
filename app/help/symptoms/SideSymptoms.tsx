import { Section } from '../_parts/HelpPage.tsx'
import { GuardsClosed, LockedOut, LookFirst, MayBe, Settles, Symptom, Where } from './Symptom.tsx'

/** One side against the other, both against what is expected. */
export function SideSymptoms() {
  return (
    <Section id="sides" title="The sides read wrong">
      <Symptom
        id="one-side-falls"
        title="One side falls when the tension rises"
        faults={['arrow-reversed', 'polarity-reversed']}
      >
        <MayBe>One load arrow is turned by half a turn, or one cell is wired the other way round.</MayBe>
        <LookFirst>The load arrow of that side. If it is right, the wires.</LookFirst>
        <Settles>Push each end the way the web pulls: one goes down.</Settles>
        <Where href="/verification">Verification, Electric: push each end.</Where>
        <LockedOut />
      </Symptom>
      <Symptom id="sum-negative" title="Both sides are negative" faults={['both-reversed']}>
        <MayBe>Both arrows or both polarities are reversed, or the sign of both gains.</MayBe>
        <LookFirst>The sign of gain in the config, then arrows and wires.</LookFirst>
        <Settles>The same push on both ends.</Settles>
        <Where href="/verification">Verification, Electric: push each end.</Where>
        <LockedOut />
      </Symptom>
      <Symptom
        id="both-read-low"
        title="Both sides read low, or high, by the same share"
        faults={['span-wrong', 'both-arrows-off', 'other-path']}
      >
        <MayBe>A wrong weight or wrap went into the span, both arrows are off, or the web runs another path.</MayBe>
        <LookFirst>The web path, from where you stand clear: is it the one that is drawn?</LookFirst>
        <Settles>A known weight in two rope directions, and the arrows by inclinometer.</Settles>
        <Where href="/">Live, Agreement: it names the path that would explain the ratio.</Where>
        <LockedOut />
      </Symptom>
      <Symptom id="wrong-at-speed" title="Right when slow, wrong when fast" faults={['momentum-left-out']}>
        <MayBe>The web’s own momentum is left out, taken off twice, or the basis weight is another.</MayBe>
        <LookFirst>Basis weight and width of the web that runs, and whether the amplifier takes it off too.</LookFirst>
        <Settles>The same tension at two speeds.</Settles>
        <Where href="/verification">Verification, Running: points at two speeds.</Where>
        <GuardsClosed />
      </Symptom>
      <Symptom
        id="sides-differ"
        title="The side difference is outside, in proportion to the tension"
        faults={['gain-one-side', 'arrows-differ', 'web-off-centre']}
      >
        <MayBe>The web pulls off the middle, one gain is wrong, or one arrow stands off.</MayBe>
        <LookFirst>Where the web runs, and its edges. Then the certificates of both cells.</LookFirst>
        <Settles>A known weight at mid-span: if the difference goes, it was the web.</Settles>
        <Where href="/verification">Verification, Known weight.</Where>
        <LockedOut />
      </Symptom>
      <Symptom id="mirrored" title="The line of pull moves the wrong way" faults={['sides-swapped']}>
        <MayBe>The two channels are swapped: each shows the other end.</MayBe>
        <LookFirst>Which register belongs to which end.</LookFirst>
        <Settles>Push one end: the other one must stay.</Settles>
        <Where href="/verification">Verification, Electric: push each end.</Where>
        <LockedOut />
      </Symptom>
      <Symptom
        id="constant-offset"
        title="Off by the same newtons at every tension"
        faults={['zero-wrong', 'overloaded-cell']}
      >
        <MayBe>The zero was taken with the web on, or never; or a cell was overloaded once.</MayBe>
        <LookFirst>The zero of the bare roller, and whether it stepped at one moment.</LookFirst>
        <Settles>A zero with the web off. If it has stepped for good, the cell is looked at as its maker says.</Settles>
        <Where href="/shift">Shift: drift of each zero, and steps.</Where>
        <LockedOut />
      </Symptom>
      <Symptom
        id="up-and-down"
        title="It reads otherwise going up than going down"
        faults={['binding', 'tight-bearing']}
      >
        <MayBe>The shaft has no free play or is clamped askew; a bearing, seal or hose drags.</MayBe>
        <LookFirst>Free play on both sides, and whether the roller turns freely by hand.</LookFirst>
        <Settles>Known weights up and down. Spin the roller by hand and time how it runs down.</Settles>
        <Where href="/verification">Verification, Fit and Known weight.</Where>
        <LockedOut />
      </Symptom>
      <Symptom
        id="swapped-cells"
        title="One side is wrong, and nobody knows whether cell or amplifier"
        faults={['channel-fault']}
      >
        <MayBe>A channel of the amplifier.</MayBe>
        <LookFirst>Both channels’ settings side by side.</LookFirst>
        <Settles>Swap the cells at the amplifier: a fault that stays with the channel is the channel’s.</Settles>
        <Where href="/verification">Verification, Electric: cross-swap.</Where>
        <LockedOut />
      </Symptom>
      <Symptom
        id="one-side-lags"
        title="One side follows a change later"
        faults={['filters-differ', 'filter-too-heavy']}
      >
        <MayBe>The filters of both channels differ, or are too heavy.</MayBe>
        <LookFirst>The filter settings of the amplifier.</LookFirst>
        <Settles>One step of tension: delay and rise of both sides.</Settles>
        <Where href="/verification">Verification, Running: tension step.</Where>
        <GuardsClosed />
      </Symptom>
      <Symptom
        id="tension-moved"
        title="Both sides move together, and so does the set tension"
        faults={['tension-change']}
      >
        <MayBe>Nothing is wrong with the cells: the web is pulled otherwise.</MayBe>
        <LookFirst>The reference beside the total.</LookFirst>
        <Settles>Agreement: it stays inside.</Settles>
        <Where href="/shift">Shift: measured less expected.</Where>
      </Symptom>
    </Section>
  )
}
