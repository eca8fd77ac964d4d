/** Typed lint for the app. Which folder may import which is checked by tests/folders.test.ts. */
import { fileURLToPath } from "node:url";

import svelte from "eslint-plugin-svelte";
import globals from "globals";
import ts from "typescript-eslint";

import svelteConfig from "./svelte.config.js";

const here = fileURLToPath(new URL(".", import.meta.url));

export default ts.config(
  { ignores: ["dist/", "node_modules/", "src/wire/schema.ts"] },
  ...ts.configs.strictTypeChecked,
  ...ts.configs.stylisticTypeChecked,
  ...svelte.configs.recommended,
  {
    languageOptions: {
      globals: globals.browser,
      parserOptions: {
        projectService: true,
        tsconfigRootDir: here,
        extraFileExtensions: [".svelte"],
      },
    },
    rules: {
      "no-console": "error",
      eqeqeq: "error",
      "no-restricted-syntax": [
        "error",
        {
          selector:
            "CallExpression[callee.property.name='localeCompare'] > .callee > .object[property.name=/_at$/]",
          message: "Times do not sort as text; domain/by-time.ts sorts them.",
        },
      ],
      "@typescript-eslint/consistent-type-imports": "error",
      "@typescript-eslint/no-unused-vars": ["error", { ignoreRestSiblings: true }],
      "@typescript-eslint/restrict-template-expressions": ["error", { allowNumber: true }],
      "@typescript-eslint/switch-exhaustiveness-check": "error",
    },
  },
  {
    files: ["**/*.svelte", "**/*.svelte.ts"],
    languageOptions: { parserOptions: { parser: ts.parser, svelteConfig } },
  },
  {
    // In a template the linter cannot infer the type of a callback given to a component; svelte-check can, and does.
    files: ["**/*.svelte"],
    rules: {
      "@typescript-eslint/no-unsafe-argument": "off",
      "@typescript-eslint/no-unsafe-assignment": "off",
      "@typescript-eslint/no-unsafe-call": "off",
      "@typescript-eslint/no-unsafe-member-access": "off",
      "@typescript-eslint/no-unsafe-return": "off",
    },
  },
  { files: ["**/*.js"], ...ts.configs.disableTypeChecked },
);
