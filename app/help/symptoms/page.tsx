import type { Metadata } from 'next'
import { SymptomsHelp } from './SymptomsHelp.tsx'

export const metadata: Metadata = { title: 'Help: symptoms' }

export default function SymptomsPage() {
  return <SymptomsHelp />
}
