import { pino } from 'pino';
import { ALERT_JOB } from '../../api/alerts/alertJob.ts';
import type { Deps } from '../../api/deps.ts';
import { emptyMemory, runEnginePass } from '../../api/engine/runEnginePass.ts';
import { deliver } from '../../api/notify/deliver.ts';
import { TELL_PEOPLE } from '../../api/notify/tellPeople.ts';
import { headerOf, type Mailbox, openMailbox, partOf } from '../support/mailbox.ts';
import { OUTSIDE } from '../support/outside.ts';
import type { TestApp } from '../support/testApp.ts';

const MINUTE_MS = 60_000;

/** What a server does by itself, with the time of `levelkeep.nowMs`. */
export interface ServerAtWork {
  readonly mailbox: Mailbox;
  /** Lets time pass up to, but not to, `untilMs`: at each step boxes send, the engine looks, alerts move, people are told. */
  runUntil(untilMs: number, everyMs: number, boxesSend?: (atMs: number) => Promise<void>): Promise<void>;
  /** Subjects of the mails so far, oldest first. */
  subjects(): (string | null)[];
  /** The plain text of the mails so far. */
  texts(): string[];
}

/** The engine, the alert job and the messages of one server, with a mail server on loopback. Call it inside a test. */
export async function givenServerAtWork(levelkeep: TestApp): Promise<ServerAtWork> {
  const { db, pool } = levelkeep;
  const mailbox = await openMailbox({ hideSTARTTLS: true });
  const memory = emptyMemory();
  const now = () => levelkeep.nowMs!;
  const deps: Deps = {
    db,
    pool,
    now,
    log: pino({ level: 'silent' }),
    ...OUTSIDE,
    notify: {
      mail: { smtpUrl: mailbox.url, from: 'levelkeep@levelkeep.example' },
      allowPrivateWebhooks: false,
    },
    enqueue: async () => {},
  };
  const signal = new AbortController().signal;

  async function tell(): Promise<void> {
    const due: number[] = [];
    const enqueue: Deps['enqueue'] = async (_, data) =>
      void due.push((data as { deliveryId: number }).deliveryId);
    await TELL_PEOPLE.handle({ ...deps, enqueue }, {}, signal);
    for (const deliveryId of due) await deliver(deps, deliveryId);
  }

  return {
    mailbox,
    async runUntil(untilMs, everyMs, boxesSend = async () => {}) {
      for (let atMs = now(); atMs < untilMs; atMs += everyMs) {
        levelkeep.nowMs = atMs;
        await boxesSend(atMs);
        await runEnginePass({ db, pool }, { nowMs: atMs, memory });
        await ALERT_JOB.handle(deps, {}, signal);
        await tell();
        // Messages gather for a minute before they go out.
        levelkeep.nowMs = atMs + MINUTE_MS;
        await tell();
      }
      levelkeep.nowMs = untilMs;
    },
    subjects: () => mailbox.mails.map((mail) => headerOf(mail, 'Subject')),
    texts: () => mailbox.mails.map((mail) => partOf(mail, 'text/plain')),
  };
}
