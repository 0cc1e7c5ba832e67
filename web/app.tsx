import { useEffect, useRef, useState } from 'preact/hooks';
import { forgetDays } from './offline/keptDays.ts';
import { Failure, Waiting } from './parts/notice.tsx';
import { TopBar } from './parts/topBar.tsx';
import { paths } from './paths.ts';
import { matchRoute, navigate, type Route, useAddress } from './router.ts';
import { MeContext, type SessionAnswer, signOut } from './session.ts';
import { useLoad } from './useLoad.ts';
import { useSubmit } from './useSubmit.ts';
import { AlertsView } from './views/alerts/alertsView.tsx';
import { AlertView } from './views/alerts/alertView.tsx';
import { ComplaintsView } from './views/complaints/complaintsView.tsx';
import { FiguresView } from './views/complaints/figuresView.tsx';
import { InviteView } from './views/door/inviteView.tsx';
import { safeNext } from './views/door/safeNext.ts';
import { SignInView } from './views/door/signInView.tsx';
import { WelcomeView } from './views/door/welcomeView.tsx';
import { FleetView } from './views/fleet/fleetView.tsx';
import { ProbesView } from './views/probes/probesView.tsx';
import { ProbeView } from './views/probes/probeView.tsx';
import { LiveReadingsView } from './views/readings/liveReadingsView.tsx';
import { TypeReadingsView } from './views/readings/typeReadingsView.tsx';
import { SetupView } from './views/setup/setupView.tsx';
import { SiteView } from './views/site/siteView.tsx';
import { UnknownView } from './views/unknownView.tsx';
import { KeptDayView } from './views/visits/keptDayView.tsx';
import { VisitDayView } from './views/visits/visitDayView.tsx';
import { VisitsView } from './views/visits/visitsView.tsx';

/** Addresses open to people who have not signed in. */
const OPEN: readonly Route['view'][] = ['sign-in', 'welcome', 'invite'];

export function App() {
  const address = useAddress();
  const route = matchRoute(address.pathname);
  const session = useLoad<SessionAnswer | null>(paths.session);
  const signedOut = !session.loading && !session.error && session.data === null;
  const open = OPEN.includes(route.view);

  useEffect(() => {
    if (signedOut && !open) {
      navigate(`/sign-in?next=${encodeURIComponent(location.pathname + location.search)}`, { replace: true });
    }
  }, [signedOut, open]);
  const signedIn = Boolean(session.data);
  const next = address.searchParams.get('next');
  useEffect(() => {
    if (signedIn && route.view === 'sign-in') navigate(safeNext(next), { replace: true });
  }, [signedIn, route.view, next]);
  useArrival(route);

  // The page goes first, so that nothing it had under way is asked for by nobody.
  const leaving = useSubmit();
  const [left, setLeft] = useState(false);
  useEffect(() => setLeft(false), [signedIn]);
  const leave = () =>
    leaving.run(signOut).then((done) => {
      setLeft(done);
      if (done) forgetDays();
      session.reload();
    });

  if (open) return <Door route={route} onSignedIn={session.reload} />;
  if (session.error && route.view === 'visit-day')
    return <KeptDayView dayId={route.dayId} error={session.error} onRetry={session.reload} />;
  if (session.error)
    return (
      <main class="page">
        <Failure error={session.error} onRetry={session.reload} />
      </main>
    );
  if (leaving.error)
    return (
      <main class="page">
        <Failure error={leaving.error} onRetry={leave} />
      </main>
    );
  if (!session.data || leaving.busy || left)
    return (
      <main class="page">
        <Waiting what="your account" />
      </main>
    );
  return (
    <MeContext.Provider value={session.data.user}>
      <a class="skip" href="#main">
        Skip to content
      </a>
      <TopBar route={route} onSignOut={leave} />
      <View route={route} />
    </MeContext.Provider>
  );
}

function Door({ route, onSignedIn }: { route: Route; onSignedIn: () => void }) {
  if (route.view === 'welcome') return <WelcomeView onSignedIn={onSignedIn} />;
  if (route.view === 'invite') return <InviteView onSignedIn={onSignedIn} />;
  return <SignInView onSignedIn={onSignedIn} />;
}

function View({ route }: { route: Route }) {
  if (route.view === 'fleet') return <FleetView />;
  if (route.view === 'site')
    return <SiteView key={route.siteId} siteId={route.siteId} pointId={route.pointId} />;
  if (route.view === 'alerts') return <AlertsView />;
  if (route.view === 'alert') return <AlertView key={route.alertId} alertId={route.alertId} />;
  if (route.view === 'complaints') return <ComplaintsView />;
  if (route.view === 'complaint-figures') return <FiguresView />;
  if (route.view === 'visits') return <VisitsView />;
  if (route.view === 'visit-day') return <VisitDayView key={route.dayId} dayId={route.dayId} />;
  if (route.view === 'probes') return <ProbesView />;
  if (route.view === 'probe')
    return <ProbeView key={route.probeId} siteId={route.siteId} probeId={route.probeId} />;
  if (route.view === 'type-readings')
    return <TypeReadingsView siteId={route.siteId} pointId={route.pointId} />;
  if (route.view === 'live-readings')
    return <LiveReadingsView siteId={route.siteId} pointId={route.pointId} />;
  if (route.view === 'unknown') return <UnknownView />;
  return <SetupView route={route} />;
}

/** On another page: its heading takes the focus and the window starts at its top. */
function useArrival(route: Route): void {
  const place = 'siteId' in route ? `${route.view} ${route.siteId}` : route.view;
  const before = useRef(place);
  useEffect(() => {
    if (before.current === place) return;
    before.current = place;
    scrollTo(0, 0);
    document.querySelector<HTMLElement>('h1')?.focus({ preventScroll: true });
  }, [place]);
}
