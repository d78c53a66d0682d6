// Validates YAML files against a JSON Schema with ajv of npm: node validate.mjs NPM SCHEMA FILE...
// A line for each file: "good FILE", "wrong FILE: why" or "unreadable FILE", which is no YAML.
import { createRequire } from 'node:module';
import { readFileSync } from 'node:fs';
import { resolve } from 'node:path';

const [npm, schema, ...files] = process.argv.slice(2);
const require = createRequire(resolve(npm, 'node_modules/x.js'));
const Ajv = require('ajv/dist/2020').default;
const { parseDocument } = require('yaml');

const ajv = new Ajv({ strict: true, allowUnionTypes: true, allErrors: true });
const validate = ajv.compile(JSON.parse(readFileSync(schema, 'utf8')));
for (const file of files) {
    const document = parseDocument(readFileSync(file, 'utf8'), { uniqueKeys: true });
    if (document.errors.length) {
        console.log(`unreadable ${file}`);
    } else if (validate(document.toJS())) {
        console.log(`good ${file}`);
    } else {
        const first = validate.errors[0];
        console.log(`wrong ${file}: ${first.instancePath} ${first.message}`);
    }
}
