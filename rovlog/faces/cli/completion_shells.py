"""The completion scripts of bash, zsh and fish: one table of what may stand where, one walk over the line."""

from __future__ import annotations

from collections.abc import Sequence
from shlex import quote

from rovlog.faces.cli.completion_tree import Node

_WALK = """\
  local cur told="" word expect="" takes="" place=0 i
  local -a book=()
  {setup}
  for ((i = {first}; i < {current}; i++)); do
    word={word}
    if [[ -n $expect ]]; then
      [[ $expect == --logbook ]] && book=(--logbook "$word")
      expect=""
    elif [[ $word == --* && $word == *=* ]]; then
      [[ $word == --logbook=* ]] && book=("$word")
    elif [[ $word == -* ]]; then
      [[ -n $(_rovlog_value "$told" "$word") ]] && expect=$word
    elif _rovlog_has_sub "$told" "$word"; then
      told="${{told:+$told }}$word"
    else
      place=$((place + 1))
    fi
  done
  if [[ -n $expect ]]; then
    takes=$(_rovlog_value "$told" "$expect")
  elif [[ $cur == -* ]]; then
    takes="choices:$(_rovlog_options "$told")"
  else
    takes=$(_rovlog_subs "$told")
    if [[ -n $takes ]]; then takes="choices:$takes"; else takes=$(_rovlog_place "$told" $place); fi
  fi
"""
"""The same walk for bash and zsh: which command the line is in, and what the word at the cursor is for.

No variable is called path: in zsh that is PATH itself.
"""

_BASH = """\
# rovlog completion for bash: source it, or put it into ~/.local/share/bash-completion/completions/rovlog
{tables}
_rovlog() {{
{walk}
  COMPREPLY=()
  case $takes in
    choices:*) COMPREPLY=($(compgen -W "${{takes#choices:}}" -- "$cur")) ;;
    words:*)
      word=$("${{COMP_WORDS[0]}}" ${{book[@]+"${{book[@]}}"}} completion words "${{takes#words:}}" \
        -- "${{COMP_WORDS[@]:1}}" 2>/dev/null)
      COMPREPLY=($(compgen -W "$word" -- "$cur"))
      ;;
    file) compopt -o filenames 2>/dev/null; COMPREPLY=($(compgen -f -- "$cur")) ;;
    dir) compopt -o filenames 2>/dev/null; COMPREPLY=($(compgen -d -- "$cur")) ;;
  esac
}}
complete -F _rovlog rovlog
"""

_ZSH = """\
#compdef rovlog
# rovlog completion for zsh: put it into a folder of $fpath as _rovlog, or source it after compinit
{tables}
_rovlog() {{
  emulate -L zsh
{walk}
  local -a found=()
  case $takes in
    choices:*) found=(${{=takes#choices:}}) ;;
    words:*) found=(${{(f)"$("${{words[1]}}" $book completion words ${{takes#words:}} -- ${{words[2,-1]}} \
      2>/dev/null)"}}) ;;
    file) _files; return ;;
    dir) _files -/; return ;;
  esac
  (( $#found )) && compadd -- $found
}}
if [[ $funcstack[1] == _rovlog ]]; then _rovlog "$@"; else compdef _rovlog rovlog; fi
"""

_FISH = """\
# rovlog completion for fish: put it into ~/.config/fish/completions/rovlog.fish
{tables}
function __rovlog_complete
    set -l path ""
    set -l expect ""
    set -l place 0
    set -l book
    set -l before (commandline -opc)
    set -l cur (commandline -ct)
    for word in $before[2..-1]
        if test -n "$expect"
            test "$expect" = --logbook; and set book --logbook $word
            set expect ""
        else if string match -q -- '--logbook=*' $word
            set book $word
        else if string match -q -- '-*' $word
            test -n "$(__rovlog_value "$path" $word)"; and set expect $word
        else if contains -- $word (__rovlog_subs "$path" | string split -f1 \\t)
            set path (string trim -- "$path $word")
        else
            set place (math $place + 1)
        end
    end
    set -l takes ""
    if test -n "$expect"
        set takes (__rovlog_value "$path" $expect)
    else if string match -q -- '-*' $cur
        __rovlog_options "$path"
        return
    else if test -n "$(__rovlog_subs "$path")"
        __rovlog_subs "$path"
        return
    else
        set takes (__rovlog_place "$path" $place)
    end
    switch "$takes"
        case 'choices:*'
            string split ' ' -- (string replace 'choices:' '' -- $takes)
        case 'words:*'
            set -l kind (string replace 'words:' '' -- $takes)
            command $before[1] $book completion words $kind -- $before[2..-1] 2>/dev/null
        case file
            __fish_complete_path $cur
        case dir
            __fish_complete_directories $cur
    end
end
complete -c rovlog -e
complete -c rovlog -f -a '(__rovlog_complete)'
"""


def bash_script(nodes: Sequence[Node]) -> str:
    """The script for bash."""
    walk = _WALK.format(
        setup="cur=${COMP_WORDS[COMP_CWORD]}", first=1, current="COMP_CWORD", word="${COMP_WORDS[i]}"
    )
    return _BASH.format(tables=_tables(nodes), walk=walk)


def zsh_script(nodes: Sequence[Node]) -> str:
    """The script for zsh; its words count from 1."""
    walk = _WALK.format(setup="cur=${words[CURRENT]}", first=2, current="CURRENT", word="${words[i]}")
    return _ZSH.format(tables=_tables(nodes), walk=walk)


def fish_script(nodes: Sequence[Node]) -> str:
    """The script for fish, with each word's help beside it."""
    subs = [(n.path, [f"{name}\t{words}" for name, words in n.subcommands]) for n in nodes if n.subcommands]
    options = [(n.path, [f"{name}\t{o.help}" for o in n.options for name in o.names]) for n in nodes]
    tables = [
        _fish("__rovlog_subs", '"$argv[1]"', subs),
        _fish("__rovlog_options", '"$argv[1]"', options),
        _fish("__rovlog_value", '"$argv[1]|$argv[2]"', [(key, [takes]) for key, takes in _values(nodes)]),
        _fish(
            "__rovlog_place",
            '"$argv[1]|$argv[2]"',
            [(key, [takes]) for key, takes in _places(nodes)],
            '"$argv[1]|"',
        ),
    ]
    return _FISH.format(tables="\n".join(tables))


def _tables(nodes: Sequence[Node]) -> str:
    """The tables as functions that bash and zsh both read."""
    subs = [(n.path, " ".join(name for name, _ in n.subcommands)) for n in nodes if n.subcommands]
    options = [(n.path, " ".join(name for o in n.options for name in o.names)) for n in nodes]
    return "\n".join(
        [
            _posix("_rovlog_subs", "$1", subs),
            '_rovlog_has_sub() { [[ " $(_rovlog_subs "$1") " == *" $2 "* ]]; }',
            _posix("_rovlog_options", "$1", options),
            _posix("_rovlog_value", "$1|$2", _values(nodes)),
            _posix("_rovlog_place", "$1|$2", _places(nodes), "$1|"),
        ]
    )


def _values(nodes: Sequence[Node]) -> list[tuple[str, str]]:
    """What each option of each command takes, by "command|option"."""
    return [(f"{n.path}|{name}", o.takes) for n in nodes for o in n.options for name in o.names if o.takes]


def _places(nodes: Sequence[Node]) -> list[tuple[str, str]]:
    """What stands at each place, by "command|place"; "command|" is for later places that repeat."""
    rows = []
    for node in nodes:
        for number, place in enumerate(node.places):
            rows.append((f"{node.path}|{number}", place.takes))
        if node.places and node.places[-1].repeats:
            rows.append((f"{node.path}|", node.places[-1].takes))
    return [row for row in rows if row[1] != "any"]


def _posix(name: str, subject: str, rows: Sequence[tuple[str, str]], otherwise: str = "") -> str:
    lines = [f"{name}() {{", f'  case "{subject}" in']
    lines += [
        f"    {quote(key)}) echo {quote(value)} ;;"
        for key, value in rows
        if not key.endswith("|") or not otherwise
    ]
    later = [(key, value) for key, value in rows if otherwise and key.endswith("|")]
    if later:
        lines.append(f'    *) case "{otherwise}" in')
        lines += [f"      {quote(key)}) echo {quote(value)} ;;" for key, value in later]
        lines.append("    esac ;;")
    return "\n".join([*lines, "  esac", "}"])


def _fish(name: str, subject: str, rows: Sequence[tuple[str, list[str]]], otherwise: str = "") -> str:
    lines = [f"function {name}", f"    switch {subject}"]
    for key, values in rows:
        if otherwise and key.endswith("|"):
            continue
        lines.append(f"        case {_fish_quote(key)}")
        lines.append("            printf '%s\\n' " + " ".join(_fish_quote(v) for v in values))
    later = [(key, values) for key, values in rows if otherwise and key.endswith("|")]
    if later:
        lines += ["        case '*'", f"            switch {otherwise}"]
        for key, values in later:
            lines.append(f"                case {_fish_quote(key)}")
            lines.append("                    printf '%s\\n' " + " ".join(_fish_quote(v) for v in values))
        lines.append("            end")
    return "\n".join([*lines, "    end", "end"])


def _fish_quote(text: str) -> str:
    """A word in fish's single quotes, where only backslash and quote are special."""
    return "'" + text.replace("\\", "\\\\").replace("'", "\\'") + "'"
