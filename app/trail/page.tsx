import type { Metadata } from 'next'
import { TrailView } from './TrailView.tsx'

export const metadata: Metadata = { title: 'Trail' }

export default function TrailPage() {
  return <TrailView />
}
