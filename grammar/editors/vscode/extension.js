// Starts `catchwork editor` for worksheets; all else is the client library's.
const { LanguageClient } = require('vscode-languageclient/node');

let client;

exports.activate = () => {
  const server = { command: 'catchwork', args: ['editor'] };
  client = new LanguageClient('catchwork', 'catchwork', server, { documentSelector: [{ language: 'catchwork' }] });
  return client.start();
};

exports.deactivate = () => client && client.stop();
