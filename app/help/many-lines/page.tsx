import type { Metadata } from 'next'
import { ManyLinesHelp } from './ManyLinesHelp.tsx'

export const metadata: Metadata = { title: 'Help: many lines in one plant' }

export default function ManyLinesPage() {
  return <ManyLinesHelp />
}
