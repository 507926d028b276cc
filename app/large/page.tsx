import type { Metadata } from 'next'
import { LargeView } from './LargeView.tsx'

export const metadata: Metadata = { title: 'Large figures' }

export default function LargePage() {
  return <LargeView />
}
