import { Component, type ReactNode } from 'react'
import { text } from '../text/messages.ts'

interface ErrorBoundaryProps {
  readonly message: string
  readonly children: ReactNode
}

/** Keeps a failed part from taking the window with it. */
export class ErrorBoundary extends Component<ErrorBoundaryProps, { readonly failed: boolean }> {
  override state = { failed: false }

  static getDerivedStateFromError() {
    return { failed: true }
  }

  override render() {
    if (!this.state.failed) return this.props.children
    return (
      <div className="part-failed" role="alert">
        <p>{this.props.message}</p>
        <button type="button" className="button" onClick={() => this.setState({ failed: false })}>
          {text.again}
        </button>
      </div>
    )
  }
}
