import type { ColumnType } from 'kysely';

export type Json<T> = ColumnType<T, string, string>;
export type JsonWithDefault<T> = ColumnType<T, string | undefined, string>;
export type WithDefault<T> = ColumnType<T, T | undefined, T>;
