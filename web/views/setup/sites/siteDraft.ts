import type { NewSiteInput, SiteSetup } from '../../../../api/schemas/siteSetup.ts';

/** The site form as it is typed. */
export interface SiteDraft {
  name: string;
  town: string;
  address: string;
  timeZone: string;
  latitude: string;
  longitude: string;
  outlets: string;
  providerId: string;
  planId: string;
  contact: string;
  accessNotes: string;
}

export function emptySite(timeZone: string): SiteDraft {
  return {
    name: '',
    town: '',
    address: '',
    timeZone,
    latitude: '',
    longitude: '',
    outlets: '',
    providerId: '',
    planId: '',
    contact: '',
    accessNotes: '',
  };
}

export function siteDraft(site: SiteSetup): SiteDraft {
  return {
    name: site.name,
    town: site.town,
    address: site.address,
    timeZone: site.timeZone,
    latitude: site.latitude === null ? '' : String(site.latitude),
    longitude: site.longitude === null ? '' : String(site.longitude),
    outlets: String(site.outlets),
    providerId: site.providerId === null ? '' : String(site.providerId),
    planId: site.planId === null ? '' : String(site.planId),
    contact: site.contact,
    accessNotes: site.accessNotes,
  };
}

/** What is sent; outlets left empty go as null, for the server to name. */
export function siteInput(draft: SiteDraft): NewSiteInput {
  return {
    name: draft.name,
    town: draft.town,
    address: draft.address,
    timeZone: draft.timeZone,
    latitude: numberOrNull(draft.latitude),
    longitude: numberOrNull(draft.longitude),
    outlets: Number(draft.outlets || 'NaN'),
    providerId: numberOrNull(draft.providerId),
    planId: numberOrNull(draft.planId),
    contact: draft.contact,
    accessNotes: draft.accessNotes,
  };
}

/** `null` for an empty field. */
export function numberOrNull(text: string): number | null {
  return text.trim() === '' ? null : Number(text);
}
