// Answers given to compiled forms, and what each form then asks; `branching.py` writes the job and starts this.
//
//     node branching.mjs FOLDER-OF-PACKAGES JOB.json ANSWER.json
//
// The job is a list of { xml, sequences }; a sequence is a list of steps, a step the values to set by name (a text, a
// number, a list of choices, null for nothing). The answer holds for every step what is relevant: `asked`, the groups
// that stand for questions in the order of the form with the state of each, and `marks`, the calculations that are on.
// Ends with status 77 where the packages can't be loaded here.

import fs from 'node:fs';
import { createRequire } from 'node:module';
import path from 'node:path';
import { pathToFileURL } from 'node:url';

const [packages, jobFile, answerFile] = process.argv.slice(2);

/** The engine is made for browsers: it finds its document types and its parser's folder among the globals. */
async function loadEngine() {
    const require = createRequire(path.join(packages, 'node_modules', 'here.js'));
    const { JSDOM } = require('jsdom');
    const { window } = new JSDOM('', { url: 'https://localhost/' });
    for (const name of Object.getOwnPropertyNames(window)) {
        if (!(name in globalThis)) globalThis[name] = window[name];
    }
    globalThis.__dirname = packages;
    return import(pathToFileURL(path.join(packages, 'node_modules/@getodk/xforms-engine/dist/index.js')));
}

/** All nodes below one, in document order. */
function* below(node) {
    for (const child of node.currentState.children ?? []) {
        yield child;
        yield* below(child);
    }
}

function set(node, value) {
    if (node.nodeType === 'select') node.selectValues(value === null ? [] : [value].flat());
    else node.setValue(value ?? (node.valueType === 'decimal' ? null : ''));
}

/** The state of a question that is asked, in the words of the program. */
function state(id, nodes) {
    const value = nodes.get(`v_${id}`).currentState.value;
    const blank = value === null || value === '' || (Array.isArray(value) && value.length === 0);
    const said = nodes.get(`s_${id}`).currentState.value;
    return blank ? said || 'open' : 'value';
}

function look(nodes) {
    const asked = [];
    const marks = [];
    for (const [name, node] of nodes) {
        const id = name.slice(2);
        if (name.startsWith('g_') && node.currentState.relevant) asked.push([id, state(id, nodes)]);
        if (/^[ek]_/.test(name) && node.currentState.value === '1') marks.push(name);
    }
    return { asked, marks };
}

let engine;
try {
    engine = await loadEngine();
} catch (error) {
    console.error(`the packages can't be loaded here: ${error.message}`);
    process.exit(77);
}

const answers = [];
for (const { xml, sequences } of JSON.parse(fs.readFileSync(jobFile, 'utf8'))) {
    const form = await engine.loadForm(xml);
    if (form.status === 'failure') throw form.error;
    const { root } = form.createInstance();
    const nodes = new Map([...below(root)].map((node) => [node.currentState.reference.split('/').pop(), node]));
    const run = (step) => {
        for (const [name, value] of Object.entries(step)) set(nodes.get(name), value);
        return look(nodes);
    };
    answers.push(sequences.map((steps) => steps.map(run)));
}
fs.writeFileSync(answerFile, JSON.stringify(answers));
