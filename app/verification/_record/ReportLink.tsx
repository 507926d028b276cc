import { isSi, namesOfUnits } from '../../../shared/unit-choice.ts'
import { tellingNow } from '../../_language/current.ts'
import { useRememberedText } from '../../_ui/remembered.ts'
import { useUnits } from '../../_ui/units.tsx'
import styles from '../Verification.module.css'

const PAPERS = [
  { paper: '', label: 'what the printer has' },
  { paper: 'a4', label: 'A4' },
  { paper: 'letter', label: 'Letter' },
] as const

interface ReportLinkProps {
  readonly record: string
  /** Record that it is compared with. */
  readonly earlier: string | null
}

/** The report in a page of its own, in the reader’s language, decimal sign and units, for the paper that this browser printed on last. */
export function ReportLink({ record, earlier }: ReportLinkProps) {
  const [kept, setPaper] = useRememberedText('evenpull.report.paper', '')
  const paper = PAPERS.find((one) => one.paper === kept)?.paper ?? ''
  const { language, mark } = tellingNow()
  const { choice } = useUnits()
  const query = new URLSearchParams({
    ...(earlier === null ? {} : { with: earlier }),
    ...(paper === '' ? {} : { paper }),
    lang: language,
    decimal: mark === ',' ? 'comma' : 'point',
    ...(isSi(choice) ? {} : { units: namesOfUnits(choice) }),
  }).toString()
  return (
    <>
      <a
        className="control"
        href={`/api/verifications/${record}/report?${query}`}
        target="_blank"
        rel="noreferrer"
        data-testid="report-link"
      >
        Report
      </a>
      <label className={styles.paper}>
        on paper
        <select value={paper} onChange={(event) => setPaper(event.target.value)} data-testid="report-paper">
          {PAPERS.map((one) => (
            <option key={one.paper} value={one.paper}>
              {one.label}
            </option>
          ))}
        </select>
      </label>
    </>
  )
}
