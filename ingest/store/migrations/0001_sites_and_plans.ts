import { type Kysely, sql } from 'kysely';

/** Providers and channel plans are few and shared by all sites; everything else begins with `site_id`. */
export async function up(db: Kysely<unknown>): Promise<void> {
  await sql`
    create table provider (
      provider_id bigint generated always as identity primary key,
      name text not null constraint provider_name_unique unique,
      contact text not null default '',
      created_at timestamptz not null default now()
    )`.execute(db);

  await sql`
    create table channel_plan (
      plan_id bigint generated always as identity primary key,
      name text not null constraint channel_plan_name_unique unique,
      raster text not null constraint channel_plan_raster_known
        check (raster in ('STD', 'HRC', 'IRC', '8 MHz', 'own')),
      created_at timestamptz not null default now()
    )`.execute(db);

  await sql`
    create table channel_plan_version (
      plan_id bigint not null references channel_plan,
      version integer not null,
      effective_from timestamptz not null,
      note text not null default '',
      created_by text not null,
      created_at timestamptz not null default now(),
      primary key (plan_id, version),
      constraint channel_plan_version_date_unique unique (plan_id, effective_from)
    )`.execute(db);

  await sql`
    create table planned_channel (
      plan_id bigint not null,
      version integer not null,
      channel text not null,
      centre_mhz double precision not null,
      width_mhz double precision not null,
      modulation text not null constraint planned_channel_modulation_known
        check (modulation in ('analogue', 'qam64', 'qam256', '8vsb', 'ofdm')),
      services jsonb not null default '[]',
      primary key (plan_id, version, channel),
      foreign key (plan_id, version) references channel_plan_version
    )`.execute(db);

  await sql`
    create table site (
      site_id bigint generated always as identity primary key,
      name text not null,
      town text not null default '',
      address text not null default '',
      time_zone text not null,
      latitude double precision,
      longitude double precision,
      outlets integer not null constraint site_outlets_not_negative check (outlets >= 0),
      provider_id bigint references provider,
      plan_id bigint references channel_plan,
      contact text not null default '',
      access_notes text not null default '',
      created_at timestamptz not null default now()
    )`.execute(db);

  await sql`
    create table point (
      site_id bigint not null references site,
      point_id bigint generated always as identity,
      name text not null,
      label text not null default '',
      kind text not null constraint point_kind_known
        check (kind in ('handoff', 'gear-input', 'gear-output', 'amplifier', 'splitter', 'outlet')),
      fed_by bigint,
      outlets integer not null default 0 constraint point_outlets_not_negative check (outlets >= 0),
      interval_s integer not null default 900 constraint point_interval_positive check (interval_s > 0),
      corrects_itself boolean not null default false,
      correction_window_db double precision,
      hop_note text not null default '',
      created_at timestamptz not null default now(),
      primary key (site_id, point_id),
      constraint point_name_unique unique (site_id, name),
      foreign key (site_id, fed_by) references point (site_id, point_id)
    )`.execute(db);

  await sql`
    create table site_key (
      site_id bigint not null references site,
      key_id bigint generated always as identity,
      secret_sha256 bytea not null,
      label text not null,
      created_by text not null,
      created_at timestamptz not null default now(),
      last_used_at timestamptz,
      revoked_at timestamptz,
      primary key (site_id, key_id)
    )`.execute(db);
}
