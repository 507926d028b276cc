import type { Metadata } from 'next'
import { VerificationView } from './VerificationView.tsx'

export const metadata: Metadata = { title: 'Verification' }

export default function VerificationPage() {
  return <VerificationView />
}
