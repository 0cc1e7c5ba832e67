-- Written by "npm run db:dump" from a freshly migrated database; the migrations are the source.

create table arrival (
  site_id bigint not null,
  arrival_id bigint generated always as identity not null,
  point_id bigint not null,
  first_at timestamp with time zone not null,
  constraint arrival_site_id_point_id_fkey FOREIGN KEY (site_id, point_id) REFERENCES point(site_id, point_id),
  constraint arrival_pkey PRIMARY KEY (site_id, arrival_id)
);

create table audit (
  audit_id bigint generated always as identity not null,
  at timestamp with time zone not null,
  by_whom text not null,
  via text not null,
  action text not null,
  subject_kind text not null,
  subject_id text not null,
  site_id bigint,
  before jsonb,
  after jsonb,
  constraint audit_pkey PRIMARY KEY (audit_id)
);
CREATE INDEX audit_at_idx ON public.audit USING btree (at);
CREATE INDEX audit_site_id_idx ON public.audit USING btree (site_id, audit_id) WHERE (site_id IS NOT NULL);

create table automation_token (
  token_id bigint generated always as identity not null,
  secret_sha256 bytea not null,
  label text not null,
  role text not null,
  created_by text not null,
  created_at timestamp with time zone default now() not null,
  expires_at timestamp with time zone,
  last_used_at timestamp with time zone,
  revoked_at timestamp with time zone,
  constraint automation_token_pkey PRIMARY KEY (token_id),
  constraint automation_token_secret_unique UNIQUE (secret_sha256)
);

create table baseline (
  site_id bigint not null,
  point_id bigint not null,
  version integer not null,
  effective_from timestamp with time zone not null,
  from_at timestamp with time zone not null,
  to_at timestamp with time zone not null,
  sweeps integer not null,
  instruments text[] not null,
  freq_hz integer[] not null,
  level_cdbmv smallint[] not null,
  level_spread_cdb smallint[] not null,
  mer_cdb smallint[],
  mer_spread_cdb smallint[],
  cnr_cdb smallint[],
  level_dbmv double precision not null,
  tilt_db double precision not null,
  flatness_db double precision not null,
  worst_mer_margin_db double precision,
  ambient_c double precision,
  outside jsonb default '[]'::jsonb not null,
  exception_note text,
  accepted_by text not null,
  accepted_at timestamp with time zone not null,
  constraint baseline_exception_noted CHECK (((outside = '[]'::jsonb) OR (exception_note IS NOT NULL))),
  constraint baseline_site_id_point_id_fkey FOREIGN KEY (site_id, point_id) REFERENCES point(site_id, point_id),
  constraint baseline_pkey PRIMARY KEY (site_id, point_id, version)
);

create table channel_plan (
  plan_id bigint generated always as identity not null,
  name text not null,
  raster text not null,
  created_at timestamp with time zone default now() not null,
  constraint channel_plan_raster_known CHECK ((raster = ANY (ARRAY['STD'::text, 'HRC'::text, 'IRC'::text, '8 MHz'::text, 'own'::text]))),
  constraint channel_plan_pkey PRIMARY KEY (plan_id),
  constraint channel_plan_name_unique UNIQUE (name)
);

create table channel_plan_version (
  plan_id bigint not null,
  version integer not null,
  effective_from timestamp with time zone not null,
  note text default ''::text not null,
  created_by text not null,
  created_at timestamp with time zone default now() not null,
  constraint channel_plan_version_plan_id_fkey FOREIGN KEY (plan_id) REFERENCES channel_plan(plan_id),
  constraint channel_plan_version_pkey PRIMARY KEY (plan_id, version),
  constraint channel_plan_version_date_unique UNIQUE (plan_id, effective_from)
);

create table checkpoint (
  site_id bigint not null,
  at timestamp with time zone not null,
  state bytea not null,
  constraint checkpoint_site_id_fkey FOREIGN KEY (site_id) REFERENCES site(site_id),
  constraint checkpoint_pkey PRIMARY KEY (site_id, at)
);

create table credential (
  id text not null,
  person_id text not null,
  provider_id text not null,
  account_id text not null,
  password text,
  access_token text,
  refresh_token text,
  id_token text,
  access_token_expires_at timestamp with time zone,
  refresh_token_expires_at timestamp with time zone,
  scope text,
  created_at timestamp with time zone default now() not null,
  updated_at timestamp with time zone not null,
  constraint credential_person_id_fkey FOREIGN KEY (person_id) REFERENCES person(id) ON DELETE CASCADE,
  constraint credential_pkey PRIMARY KEY (id)
);
CREATE INDEX credential_person_id_idx ON public.credential USING btree (person_id);

create table daily_median (
  site_id bigint not null,
  point_id bigint not null,
  day timestamp with time zone not null,
  sweeps integer not null,
  instruments text[] not null,
  freq_hz integer[] not null,
  level_cdbmv smallint[] not null,
  mer_cdb smallint[],
  cnr_cdb smallint[],
  lost_hz integer[] not null,
  ambient_cc smallint,
  constraint daily_median_site_id_point_id_fkey FOREIGN KEY (site_id, point_id) REFERENCES point(site_id, point_id),
  constraint daily_median_pkey PRIMARY KEY (site_id, point_id, day)
);

create table finding (
  site_id bigint not null,
  event integer not null,
  point_id bigint not null,
  kind text not null,
  metric text not null,
  shape text,
  detected_at timestamp with time zone not null,
  onset_at timestamp with time zone not null,
  onset_low_at timestamp with time zone not null,
  onset_high_at timestamp with time zone not null,
  size_db double precision not null,
  size_low_db double precision not null,
  size_high_db double precision not null,
  slope_db_per_day double precision,
  slope_low_db_per_day double precision,
  slope_high_db_per_day double precision,
  limit_days_10 double precision,
  limit_days_50 double precision,
  limit_days_90 double precision,
  limit_name text,
  closed_at timestamp with time zone,
  side text not null,
  hop_from bigint,
  hop_to bigint not null,
  also_possible bigint[] default '{}'::bigint[] not null,
  explained_by bigint,
  evidence jsonb default '{}'::jsonb not null,
  told_at timestamp with time zone not null,
  constraint finding_site_id_point_id_fkey FOREIGN KEY (site_id, point_id) REFERENCES point(site_id, point_id),
  constraint finding_pkey PRIMARY KEY (site_id, event, point_id)
);
CREATE INDEX finding_open ON public.finding USING btree (site_id) WHERE (closed_at IS NULL);

create table fleet_limit_choice (
  choice_id bigint generated always as identity not null,
  kind text not null,
  set_id text not null,
  changes jsonb default '[]'::jsonb not null,
  reason text not null,
  chosen_by text not null,
  chosen_at timestamp with time zone default now() not null,
  constraint fleet_limit_choice_pkey PRIMARY KEY (choice_id)
);

create table grid (
  site_id bigint not null,
  grid_id bigint generated always as identity not null,
  freq_hz integer[] not null,
  constraint grid_site_id_fkey FOREIGN KEY (site_id) REFERENCES site(site_id),
  constraint grid_pkey PRIMARY KEY (site_id, grid_id),
  constraint grid_freq_unique UNIQUE (site_id, freq_hz)
);

create table hourly (
  site_id bigint not null,
  point_id bigint not null,
  hour timestamp with time zone not null,
  sweeps smallint not null,
  level_dbmv real,
  level_dev_db real,
  tilt_db real,
  tilt_dev_db real,
  flatness_db real,
  mer_margin_db real,
  ambient_c real,
  constraint hourly_site_id_point_id_fkey FOREIGN KEY (site_id, point_id) REFERENCES point(site_id, point_id),
  constraint hourly_pkey PRIMARY KEY (site_id, point_id, hour)
);

create table one_time_link (
  link_id bigint generated always as identity not null,
  secret_sha256 bytea not null,
  purpose text not null,
  role text not null,
  email text,
  person_id text,
  created_by text not null,
  created_at timestamp with time zone default now() not null,
  expires_at timestamp with time zone not null,
  used_at timestamp with time zone,
  constraint one_time_link_password_of_someone CHECK (((purpose = 'password'::text) = (person_id IS NOT NULL))),
  constraint one_time_link_purpose_known CHECK ((purpose = ANY (ARRAY['setup'::text, 'invitation'::text, 'password'::text]))),
  constraint one_time_link_person_id_fkey FOREIGN KEY (person_id) REFERENCES person(id) ON DELETE CASCADE,
  constraint one_time_link_pkey PRIMARY KEY (link_id),
  constraint one_time_link_secret_unique UNIQUE (secret_sha256)
);

create table person (
  id text not null,
  name text not null,
  email text not null,
  email_verified boolean not null,
  image text,
  role text not null,
  disabled boolean not null,
  created_at timestamp with time zone default now() not null,
  updated_at timestamp with time zone default now() not null,
  constraint person_role_known CHECK ((role = ANY (ARRAY['viewer'::text, 'technician'::text, 'manager'::text, 'administrator'::text]))),
  constraint person_pkey PRIMARY KEY (id),
  constraint person_email_unique UNIQUE (email)
);

create table person_session (
  id text not null,
  person_id text not null,
  token text not null,
  ip_address text,
  user_agent text,
  expires_at timestamp with time zone not null,
  created_at timestamp with time zone default now() not null,
  updated_at timestamp with time zone not null,
  constraint person_session_person_id_fkey FOREIGN KEY (person_id) REFERENCES person(id) ON DELETE CASCADE,
  constraint person_session_pkey PRIMARY KEY (id),
  constraint person_session_token_key UNIQUE (token)
);
CREATE INDEX person_session_person_id_idx ON public.person_session USING btree (person_id);

create table planned_channel (
  plan_id bigint not null,
  version integer not null,
  channel text not null,
  centre_mhz double precision not null,
  width_mhz double precision not null,
  modulation text not null,
  services jsonb default '[]'::jsonb not null,
  constraint planned_channel_modulation_known CHECK ((modulation = ANY (ARRAY['analogue'::text, 'qam64'::text, 'qam256'::text, '8vsb'::text, 'ofdm'::text]))),
  constraint planned_channel_plan_id_version_fkey FOREIGN KEY (plan_id, version) REFERENCES channel_plan_version(plan_id, version),
  constraint planned_channel_pkey PRIMARY KEY (plan_id, version, channel)
);

create table point (
  site_id bigint not null,
  point_id bigint generated always as identity not null,
  name text not null,
  label text default ''::text not null,
  kind text not null,
  fed_by bigint,
  outlets integer default 0 not null,
  interval_s integer default 900 not null,
  corrects_itself boolean default false not null,
  correction_window_db double precision,
  hop_note text default ''::text not null,
  created_at timestamp with time zone default now() not null,
  constraint point_interval_positive CHECK ((interval_s > 0)),
  constraint point_kind_known CHECK ((kind = ANY (ARRAY['handoff'::text, 'gear-input'::text, 'gear-output'::text, 'amplifier'::text, 'splitter'::text, 'outlet'::text]))),
  constraint point_outlets_not_negative CHECK ((outlets >= 0)),
  constraint point_site_id_fed_by_fkey FOREIGN KEY (site_id, fed_by) REFERENCES point(site_id, point_id),
  constraint point_site_id_fkey FOREIGN KEY (site_id) REFERENCES site(site_id),
  constraint point_pkey PRIMARY KEY (site_id, point_id),
  constraint point_name_unique UNIQUE (site_id, name)
);

create table point_state (
  site_id bigint not null,
  point_id bigint not null,
  last_at timestamp with time zone,
  latest jsonb,
  state json,
  constraint point_state_site_id_point_id_fkey FOREIGN KEY (site_id, point_id) REFERENCES point(site_id, point_id),
  constraint point_state_pkey PRIMARY KEY (site_id, point_id)
);

create table provider (
  provider_id bigint generated always as identity not null,
  name text not null,
  contact text default ''::text not null,
  created_at timestamp with time zone default now() not null,
  constraint provider_pkey PRIMARY KEY (provider_id),
  constraint provider_name_unique UNIQUE (name)
);

create table rejected_sweep (
  site_id bigint not null,
  rejection_id bigint generated always as identity not null,
  received_at timestamp with time zone not null,
  point text,
  at text,
  path text not null,
  reason text not null,
  constraint rejected_sweep_site_id_fkey FOREIGN KEY (site_id) REFERENCES site(site_id),
  constraint rejected_sweep_pkey PRIMARY KEY (site_id, rejection_id)
);

create table site (
  site_id bigint generated always as identity not null,
  name text not null,
  town text default ''::text not null,
  address text default ''::text not null,
  time_zone text not null,
  latitude double precision,
  longitude double precision,
  outlets integer not null,
  provider_id bigint,
  plan_id bigint,
  contact text default ''::text not null,
  access_notes text default ''::text not null,
  created_at timestamp with time zone default now() not null,
  constraint site_outlets_not_negative CHECK ((outlets >= 0)),
  constraint site_plan_id_fkey FOREIGN KEY (plan_id) REFERENCES channel_plan(plan_id),
  constraint site_provider_id_fkey FOREIGN KEY (provider_id) REFERENCES provider(provider_id),
  constraint site_pkey PRIMARY KEY (site_id)
);

create table site_key (
  site_id bigint not null,
  key_id bigint generated always as identity not null,
  secret_sha256 bytea not null,
  label text not null,
  created_by text not null,
  created_at timestamp with time zone default now() not null,
  last_used_at timestamp with time zone,
  revoked_at timestamp with time zone,
  constraint site_key_site_id_fkey FOREIGN KEY (site_id) REFERENCES site(site_id),
  constraint site_key_pkey PRIMARY KEY (site_id, key_id)
);

create table site_limit_choice (
  site_id bigint not null,
  choice_id bigint generated always as identity not null,
  kind text,
  point_id bigint,
  set_id text not null,
  changes jsonb default '[]'::jsonb not null,
  reason text not null,
  chosen_by text not null,
  chosen_at timestamp with time zone default now() not null,
  constraint site_limit_choice_one_scope CHECK (((kind IS NULL) <> (point_id IS NULL))),
  constraint site_limit_choice_site_id_fkey FOREIGN KEY (site_id) REFERENCES site(site_id),
  constraint site_limit_choice_site_id_point_id_fkey FOREIGN KEY (site_id, point_id) REFERENCES point(site_id, point_id),
  constraint site_limit_choice_pkey PRIMARY KEY (site_id, choice_id)
);

create table site_risk (
  site_id bigint not null,
  outlet_days double precision not null,
  sentence text not null,
  verdict text not null,
  side text,
  since timestamp with time zone,
  days_to_limit double precision,
  last_sweep_at timestamp with time zone,
  strip smallint[] not null,
  parts jsonb default '{}'::jsonb not null,
  computed_at timestamp with time zone not null,
  constraint site_risk_site_id_fkey FOREIGN KEY (site_id) REFERENCES site(site_id),
  constraint site_risk_pkey PRIMARY KEY (site_id)
);
CREATE INDEX site_risk_rank ON public.site_risk USING btree (outlet_days DESC, site_id);

create table site_state (
  site_id bigint not null,
  last_at timestamp with time zone,
  state json,
  constraint site_state_site_id_fkey FOREIGN KEY (site_id) REFERENCES site(site_id),
  constraint site_state_pkey PRIMARY KEY (site_id)
);

create table sweep (
  site_id bigint not null,
  point_id bigint not null,
  at timestamp with time zone not null,
  instrument text not null,
  received_at timestamp with time zone not null,
  grid_id bigint not null,
  level_cdbmv smallint[] not null,
  mer_cdb smallint[],
  cnr_cdb smallint[],
  ber_pre real[],
  ber_post real[],
  lost_hz integer[],
  ambient_cc smallint,
  constraint sweep_site_id_grid_id_fkey FOREIGN KEY (site_id, grid_id) REFERENCES grid(site_id, grid_id),
  constraint sweep_site_id_point_id_fkey FOREIGN KEY (site_id, point_id) REFERENCES point(site_id, point_id),
  constraint sweep_pkey PRIMARY KEY (site_id, point_id, at, instrument)
) partition by RANGE (at);

create table verification (
  id text not null,
  identifier text not null,
  value text not null,
  expires_at timestamp with time zone not null,
  created_at timestamp with time zone default now() not null,
  updated_at timestamp with time zone default now() not null,
  constraint verification_pkey PRIMARY KEY (id)
);
CREATE INDEX verification_identifier_idx ON public.verification USING btree (identifier);
