import * as react from 'react/jsx-dev-runtime'
import { type Props, toldProps } from './told-props.ts'

/** The same as jsx-runtime.ts where React also wants to know the place in the source. */
export type { JSX } from 'react/jsx-dev-runtime'
export const Fragment = react.Fragment

export const jsxDEV: typeof react.jsxDEV = (type, props, ...rest) =>
  react.jsxDEV(type, toldProps(type, props as Props), ...rest)
