// Reads JSON {grammar, texts} and writes, for each text, its lines cut as VS Code's own reader cuts them:
// [text, [the text's scopes, outermost first]].   node textmate_scopes.js FOLDER-WITH-NODE_MODULES < in > out
const fs = require('fs');
const path = require('path');
const from = require('module').createRequire(path.join(process.argv[2], 'package.json'));
const oniguruma = from('vscode-oniguruma');
const textmate = from('vscode-textmate');

async function main() {
  const asked = JSON.parse(fs.readFileSync(0, 'utf8'));
  await oniguruma.loadWASM(fs.readFileSync(from.resolve('vscode-oniguruma/release/onig.wasm')).buffer);
  const registry = new textmate.Registry({
    onigLib: Promise.resolve({
      createOnigScanner: (patterns) => new oniguruma.OnigScanner(patterns),
      createOnigString: (text) => new oniguruma.OnigString(text),
    }),
    loadGrammar: async () => textmate.parseRawGrammar(asked.grammar, 'bench.json'),
  });
  const grammar = await registry.loadGrammar('source.bench');
  const told = asked.texts.map((text) => {
    let state = textmate.INITIAL;
    return text.split('\n').map((line) => {
      const cut = grammar.tokenizeLine(line, state);
      if (cut.stoppedEarly) throw new Error('took too long: ' + line);
      state = cut.ruleStack;
      return cut.tokens.map((one) => [line.slice(one.startIndex, one.endIndex), one.scopes]);
    });
  });
  process.stdout.write(JSON.stringify(told));
}

main();
