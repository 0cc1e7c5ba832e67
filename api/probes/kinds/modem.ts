import { createModemDriver } from '../../../ingest/probe/modem/modemDriver.ts';
import type { SnmpAccess } from '../../../ingest/probe/modem/snmpTarget.ts';
import { SHORTEST_PASSWORD } from '../../../ingest/probe/options.ts';
import { ModemSecretsSchema, type ModemSettings, ModemSettingsSchema } from '../../schemas/probes.ts';
import type { ProbeKind, ProbeSecrets } from '../probeKind.ts';

/** A standard cable modem by SNMP v2c or v3. */
export const modemKind: ProbeKind<ModemSettings> = {
  settingsSchema: ModemSettingsSchema,
  secretsSchema: ModemSecretsSchema,
  host: ({ host }) => host,
  address: ({ host }) => host,
  instrumentKey: ({ host, port }) => `modem ${host.toLowerCase()}:${port}`,
  secretFaults: ({ access }, secrets) =>
    access.version === '2c'
      ? communityFaults(secrets)
      : {
          ...(access.auth !== null && passwordFaults('authPassword', secrets)),
          ...(access.priv !== null && passwordFaults('privPassword', secrets)),
        },
  createDriver: ({ settings, secrets, now, note }) => {
    const { host, port, instrument } = settings;
    const target = { host, port, access: accessOf(settings, secrets) };
    return createModemDriver({ target, instrument, now, note });
  },
};

function communityFaults({ community }: ProbeSecrets): Record<string, string> {
  return community ? {} : { community: 'is missing: give the community that may read the modem' };
}

function passwordFaults(
  name: 'authPassword' | 'privPassword',
  secrets: ProbeSecrets,
): Record<string, string> {
  const password = secrets[name];
  if (!password) return { [name]: 'is missing: give the password that is set on the modem' };
  if (password.length >= SHORTEST_PASSWORD) return {};
  return {
    [name]: `has ${password.length} characters: SNMP v3 passwords have at least ${SHORTEST_PASSWORD}`,
  };
}

function accessOf({ access }: ModemSettings, secrets: ProbeSecrets): SnmpAccess {
  if (access.version === '2c') return { version: '2c', community: secrets['community']! };
  const { user, auth, priv } = access;
  return {
    version: '3',
    user,
    auth: auth && { protocol: auth, password: secrets['authPassword']! },
    priv: priv && { protocol: priv, password: secrets['privPassword']! },
  };
}
