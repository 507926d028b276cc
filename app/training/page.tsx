import type { Metadata } from 'next'
import { TrainingView } from './TrainingView.tsx'

export const metadata: Metadata = { title: 'Training' }

export default function TrainingPage() {
  return <TrainingView />
}
