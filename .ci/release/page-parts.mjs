// Collects what the script and the style sheet of the API page are made of, and under which licenses, into
// api/release/page_parts.json. It is run by hand when Swagger UI is changed: node .ci/release/page-parts.mjs VERSION
// Its publisher says in a file of the package which parts the script holds, but not in which versions, so the licenses are read
// in the versions that can be had now, and no version is claimed. It needs npm and the registry.
import { execFileSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';

const version = process.argv[2];
if (!version) throw new Error('which version of swagger-ui-dist?');
const top = path.resolve(import.meta.dirname ?? path.dirname(new URL(import.meta.url).pathname), '../..');
const scratch = fs.mkdtempSync(path.join(os.tmpdir(), 'page-parts-'));
const npm = (...args) => execFileSync('npm', args, { cwd: scratch, encoding: 'utf8' });
const quiet = ['--ignore-scripts', '--legacy-peer-deps', '--no-audit', '--no-fund', '--no-progress', '--loglevel=error'];
const installed = (name) => path.join(scratch, 'node_modules', name);

fs.writeFileSync(path.join(scratch, 'package.json'), '{"name":"page-parts","private":true}');
npm('install', ...quiet, `swagger-ui-dist@${version}`, 'swagger-ui@^5', 'tachyons-sass');

// What is served is what the publisher put out, but for the pointer to a map of the sources, which is not served.
const files = {};
for (const name of ['swagger-ui-bundle.js', 'swagger-ui.css']) {
  const served = fs.readFileSync(path.join(top, 'handlers/assets', name));
  const published = fs.readFileSync(path.join(installed('swagger-ui-dist'), name));
  const rest = published.subarray(served.length).toString();
  if (!published.subarray(0, served.length).equals(served) || !/^\s*(\/[/*]# sourceMappingURL=\S+(\s*\*\/)?\s*)?$/.test(rest)) {
    throw new Error(`${name} is not that of swagger-ui-dist ${version}`);
  }
  files[name] = createHash('sha256').update(served).digest('hex');
}

const sizes = fs.readFileSync(path.join(installed('swagger-ui-dist'), 'log.bundle-sizes.swagger-ui.txt'), 'utf8');
const names = [...sizes.matchAll(/^([^<\s:]+):/gm)].map((line) => line[1]);
names.push('tachyons-sass'); // in the style sheet
const missing = names.filter((name) => !fs.existsSync(path.join(installed(name), 'package.json')));
if (missing.length) npm('install', ...quiet, ...missing);

const legal = /^(licen[sc]es?|copying|notice|copyright|copyrightnotice|unlicense)\b/i;
function texts(folder) {
  return fs.readdirSync(folder).filter((name) => legal.test(name)).sort().flatMap((name) => {
    const file = path.join(folder, name);
    if (fs.statSync(file).isDirectory()) return fs.readdirSync(file).sort().map((each) => fs.readFileSync(path.join(file, each), 'utf8'));
    return [fs.readFileSync(file, 'utf8')];
  });
}
const plain = (text) => text.replace(/\r\n?/g, '\n').replace(/[ \t]+$/gm, '').replace(/^\n+|\n+$/g, '') + '\n';
// Each text stands once in the file; parts name it by its place.
const every = [];
function once(text) {
  const cleaned = plain(text);
  if (!every.includes(cleaned)) every.push(cleaned);
  return every.indexOf(cleaned);
}
function part(name) {
  const about = JSON.parse(fs.readFileSync(path.join(installed(name), 'package.json'), 'utf8'));
  const license = about.license ?? about.licenses?.[0]?.type;
  if (typeof license !== 'string') throw new Error(`${name} does not say its license`);
  let found = texts(installed(name));
  if (!found.length) {
    // The package says its license in its page alone.
    const readme = fs.readdirSync(installed(name)).find((each) => /^readme/i.test(each));
    const said = readme && fs.readFileSync(path.join(installed(name), readme), 'utf8').match(/copyright.*$/im)?.[0];
    const author = typeof about.author === 'string' ? about.author : about.author?.name;
    found = [`${said ?? `Copyright ${author ?? `the authors of ${name}`}`}\nThe package holds no text of its license, which it names: ${license}.\n`];
  }
  return { name, license: license.replace(/^\((.*)\)$/, '$1'), texts: found.map(once) };
}
const own = once(fs.readFileSync(path.join(top, 'handlers/assets/swagger-ui.LICENSE.txt'), 'utf8'));
const parts = [...new Set(names)].sort().map(part);
const all = { name: 'swagger-ui-dist', version, license: 'Apache-2.0', texts: [own], files, parts, every };
fs.writeFileSync(path.join(top, 'api/release/page_parts.json'), JSON.stringify(all, null, 1) + '\n');
fs.rmSync(scratch, { recursive: true });
console.log(`${parts.length} parts of swagger-ui-dist ${version}`);
