import type { Metadata } from 'next'
import { DiagnosisView } from './DiagnosisView.tsx'

export const metadata: Metadata = { title: 'Diagnosis' }

export default function DiagnosisPage() {
  return <DiagnosisView />
}
