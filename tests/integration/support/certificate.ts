import { execFileSync } from 'node:child_process'
import { join } from 'node:path'

/** A self-made certificate of 127.0.0.1 and its key in a folder, by openssl; names of the two files. */
export function makeCertificate(folder: string, name: string): { cert: string; key: string } {
  const [cert, key] = [`${name}.pem`, `${name}.key`]
  const made = ['req', '-x509', '-newkey', 'ec', '-pkeyopt', 'ec_paramgen_curve:prime256v1', '-nodes', '-days', '2']
  const names = ['-subj', '/CN=gateway.example', '-addext', 'subjectAltName=IP:127.0.0.1']
  const files = ['-keyout', join(folder, key), '-out', join(folder, cert)]
  execFileSync('openssl', [...made, ...names, ...files], { stdio: 'ignore' })
  return { cert, key }
}
