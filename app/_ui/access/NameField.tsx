import type { Signature } from './signature.ts'

interface NameFieldProps {
  readonly signature: Signature
  readonly isMissing: boolean
  readonly testId: string
}

/** Who signs; nothing to type for whoever has logged in. */
export function NameField({ signature, isMissing, testId }: NameFieldProps) {
  const { who, setWho, isFixed } = signature
  if (isFixed) return <p>Signed: {who}</p>
  return (
    <label>
      Your name
      <input
        type="text"
        autoComplete="name"
        maxLength={60}
        value={who}
        aria-invalid={isMissing}
        onChange={(event) => setWho(event.target.value)}
        data-testid={testId}
      />
    </label>
  )
}
