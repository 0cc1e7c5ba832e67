import type { Route } from '../../router.ts';
import { UnknownView } from '../unknownView.tsx';

export function SetupView(_: { route: Route }) {
  return <UnknownView />;
}
