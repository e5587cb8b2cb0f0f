import type { Drawing } from './drawing.ts';

export interface TableColumn {
  readonly head: string;
  readonly align: 'left' | 'right';
  /** Share of the table's width. */
  readonly share: number;
}

/** A piece of the packet's document; HTML and PDF are two printings of the same pieces. */
export type Block =
  | { readonly kind: 'heading'; readonly level: 1 | 2 | 3; readonly text: string }
  | { readonly kind: 'paragraph'; readonly text: string; readonly tone: 'lead' | 'plain' | 'small' }
  | { readonly kind: 'list'; readonly items: readonly string[] }
  | { readonly kind: 'box'; readonly title: string; readonly items: readonly string[] }
  | { readonly kind: 'facts'; readonly pairs: readonly (readonly [name: string, value: string])[] }
  | {
      readonly kind: 'table';
      readonly caption: string;
      readonly columns: readonly TableColumn[];
      readonly rows: readonly (readonly string[])[];
    }
  | { readonly kind: 'figure'; readonly drawing: Drawing; readonly caption: string }
  | { readonly kind: 'page' };

export interface PacketDocument {
  readonly title: string;
  /** Stands at the head or foot of every page. */
  readonly running: string;
  readonly at: string;
  readonly blocks: readonly Block[];
}
