import type { WebGLRenderer } from 'three'

/** The element that hears the pointer: the camera's controls capture it there, so that clicks never reach the canvas. */
export const holderOf = (gl: WebGLRenderer): HTMLElement =>
  gl.domElement.closest<HTMLElement>('.scene') ?? gl.domElement
