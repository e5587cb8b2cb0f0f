import { mount } from 'svelte';
import App from './App.svelte';
import { connect } from './client/connect.ts';
import './styles/tokens.css';
import './styles/base.css';

const { client, onReach, menu } = await connect();
// before the first picture, so that it is not drawn in another look first
const kept = await client.call('pageKept', {});
mount(App, {
  target: document.getElementById('root')!,
  props: { client, onReach, menu, kept: kept.ok ? kept.value : { look: null, place: null } },
});
