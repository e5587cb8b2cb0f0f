import { mount } from 'svelte';
import App from './App.svelte';
import { connect } from './client/connect.ts';
import './styles/tokens.css';
import './styles/base.css';

const connection = await connect();
mount(App, {
  target: document.getElementById('root')!,
  props: { client: connection.client, onReach: connection.onReach },
});
