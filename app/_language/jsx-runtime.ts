import * as react from 'react/jsx-runtime'
import { type Props, toldProps } from './told-props.ts'

/**
 * What JSX compiles to (`jsxImportSource` in tsconfig.json): React's own functions, behind the place where a text
 * becomes part of the page. So no component has to wrap its texts.
 */
export type { JSX } from 'react/jsx-runtime'
export const Fragment = react.Fragment

export const jsx: typeof react.jsx = (type, props, key) => react.jsx(type, toldProps(type, props as Props), key)
export const jsxs: typeof react.jsxs = (type, props, key) => react.jsxs(type, toldProps(type, props as Props), key)
