import type { Metadata } from 'next'
import { HelpStart } from './HelpStart.tsx'

export const metadata: Metadata = { title: 'Help' }

export default function HelpListPage() {
  return <HelpStart />
}
