/**
 * What a shell must run to ask `deskround complete` for the next word. Each script passes the words
 * on as they are: nothing that was typed is executed or expanded again. The answer has one word per
 * line, with its description after a tab; `:files` or `:folders` alone leave the rest to the shell.
 */
export const shellScripts = {
  bash: `# Completion of deskround in bash: source <(deskround completion bash)
_deskround_complete() {
  local line
  COMPREPLY=()
  while IFS= read -r line; do
    case $line in
      :files) compopt -o default 2>/dev/null; return ;;
      :folders) compopt -o dirnames 2>/dev/null; return ;;
      *) COMPREPLY+=("\${line%%$'\\t'*}") ;;
    esac
  done < <(deskround complete -- "\${COMP_WORDS[@]:1:COMP_CWORD}" 2>/dev/null)
}
complete -F _deskround_complete deskround
`,
  zsh: `#compdef deskround
# Completion of deskround in zsh: source <(deskround completion zsh), after compinit
_deskround() {
  local line
  local -a found
  while IFS= read -r line; do
    case $line in
      :files) _files; return ;;
      :folders) _files -/; return ;;
      *) found+=("\${\${line%%$'\\t'*}//:/\\\\:}:\${line#*$'\\t'}") ;;
    esac
  done < <(deskround complete -- "\${(@Q)words[2,CURRENT]}" 2>/dev/null)
  _describe -V deskround found
}
if [[ $zsh_eval_context == *func ]]; then _deskround "$@"; else compdef _deskround deskround; fi
`,
  fish: `# Completion of deskround in fish: deskround completion fish | source
function __deskround_complete
  set -l words (commandline -opc)
  set -l begun (commandline -ct)
  set -l found (deskround complete -- $words[2..-1] "$begun" 2>/dev/null)
  switch "$found"
    case :files
      __fish_complete_path "$begun"
    case :folders
      __fish_complete_directories "$begun"
    case '*'
      printf '%s\\n' $found
  end
end
complete -c deskround -f -k -a '(__deskround_complete)'
`,
} as const;

export type Shell = keyof typeof shellScripts;
