// Starts `benchproof language-server` for the recipes of a trusted folder, and talks to it over stdio.
'use strict';

const fs = require('fs');
const os = require('os');
const path = require('path');
const vscode = require('vscode');
const { LanguageClient } = require('vscode-languageclient/node');

let client;
let queue = Promise.resolve();

/**
 * The program's whole path: as set, else the first on PATH. Throws an Error whose message is for the cook.
 * Never a relative path, and PATH's relative entries are passed over: a folder of recipes, which may be a
 * stranger's, could hold a program of that name.
 */
function findProgram(set, searched, windows) {
  const absolute = windows ? path.win32.isAbsolute : path.posix.isAbsolute;
  if (set) {
    if (!absolute(set)) throw new Error('The setting bench.program wants a whole path, from the root on: ' + set);
    if (!isFile(set)) throw new Error('There is no file at the path in the setting bench.program: ' + set);
    return set;
  }
  const name = windows ? 'benchproof.exe' : 'benchproof';
  for (const folder of (searched || '').split(windows ? ';' : ':')) {
    if (!absolute(folder)) continue;
    const file = path.join(folder, name);
    if (isFile(file)) return file;
  }
  throw new Error(
    'The program benchproof was not found, so recipes are coloured but not checked. ' +
      'Install it, or say where it is in the setting bench.program.'
  );
}

function isFile(file) {
  try {
    if (!fs.statSync(file).isFile()) return false;
    fs.accessSync(file, fs.constants.X_OK);
    return true;
  } catch {
    return false;
  }
}

async function start() {
  if (client || !vscode.workspace.isTrusted) return;
  let command;
  try {
    const set = vscode.workspace.getConfiguration('bench').get('program');
    command = findProgram(set, process.env.PATH, process.platform === 'win32');
  } catch (error) {
    vscode.window.showWarningMessage(error.message);
    return;
  }
  client = new LanguageClient(
    'bench',
    'Bench recipes',
    // The home folder, not the recipes': nothing there may be taken for a part of the program.
    { command, args: ['language-server'], options: { cwd: os.homedir(), shell: false } },
    { documentSelector: [{ scheme: 'file', language: 'bench' }] }
  );
  try {
    await client.start();
  } catch (error) {
    client = undefined;
    vscode.window.showErrorMessage('benchproof language-server did not start: ' + error.message);
  }
}

async function stop() {
  const stopping = client;
  client = undefined;
  if (stopping) await stopping.stop().catch(() => undefined); // it may have ended by itself
}

// One after the other: two starts at once would be two servers.
function inTurn(...steps) {
  for (const step of steps) queue = queue.then(step);
  return queue;
}

function activate(context) {
  context.subscriptions.push(
    vscode.commands.registerCommand('bench.restart', () => inTurn(stop, start)),
    vscode.workspace.onDidGrantWorkspaceTrust(() => inTurn(start)),
    vscode.workspace.onDidChangeConfiguration((change) => {
      if (change.affectsConfiguration('bench.program')) return inTurn(stop, start);
    })
  );
  return inTurn(start);
}

function deactivate() {
  return inTurn(stop);
}

module.exports = { activate, deactivate, findProgram };
