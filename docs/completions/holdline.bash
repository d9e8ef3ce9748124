# SPDX-FileCopyrightText: 2026 The Holdline authors
# SPDX-License-Identifier: GPL-3.0-or-later
# bash completion for holdline                                                              -*- shell-script -*-

_holdline_rigs()
{
    local device
    for device in /dev/ttyACM* /dev/ttyUSB* /dev/serial/by-id/*; do
        [ -e "$device" ] && echo "$device"
    done
    echo auto tty: virtual:winter virtual:steady virtual:restless virtual:learner virtual:rough
}

_holdline()
{
    local word=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD - 1]} command="" words="" i
    local stream="--dialect --columns --unit --time-column --time-unit --no-echo --status --hexadecimal --line-end --layout"
    local filter="--rider --bike --since --until"
    local commands="live demo rigs listen run replay watch tell measure import list show compare export place plan drag practice progress store check calibrate plate"
    COMPREPLY=()
    # readline cuts words at ':', '=' and '?': put the rig's name together again
    local cut=""
    if [ "$before" = : ] && [ "$COMP_CWORD" -ge 2 ]; then
        cut="${COMP_WORDS[COMP_CWORD - 2]}:"
        word="$cut$word"
        before=""
    elif [ "$word" = : ]; then
        cut="$before:"
        word=$cut
        before=""
    fi
    for ((i = 1; i < COMP_CWORD; i++)); do
        case " $commands " in
        *" ${COMP_WORDS[i]} "*)
            command=${COMP_WORDS[i]}
            break
            ;;
        esac
    done
    case $before in
    --store | --trace | --export | --parts | --svg | --to)
        mapfile -t COMPREPLY < <(compgen -f -- "$word")
        return
        ;;
    --out)
        mapfile -t COMPREPLY < <(compgen -d -- "$word")
        return
        ;;
    --carry) words=last ;;
    --paper) words="a4 letter" ;;
    --language) words="en de" ;;
    --unit) words="mm cm m in" ;;
    --time-unit) words="us ms s iso" ;;
    --tie) words="fixed plate tape" ;;
    --dialect) words="bench xdr senml readings plain" ;;
    --tones) words="auto bell off" ;;
    --seed | --origin | --speed | --rate | --seconds | --columns | --time-column | --no-echo | --status | --line-end | --layout | --rider | --bike | --sensor | --started | --line | --since | --until | --against | --chosen | --setup | --from | --at | --to-setup | --limit | --best | --change-cost | --on-bike | --difference | --setups | --minutes | --sd | --change | --ride-in | --hold | --rating | --rest)
        return
        ;;
    *)
        case $command in
        "") words="$commands --version" ;;
        live) words="--store --resume --new --carry --on-bike --origin --seed --tones --trace $stream" ;;
        demo) words="--headless --drag --seed --speed --out --tones --resume" ;;
        rigs) words="--seconds --json --keep --forget $stream" ;;
        listen) words="--seconds --json --health --rate $stream" ;;
        check) words="all rider beam step still --no-prompts --out --replace --look-down --rate --json $stream" ;;
        calibrate | plate) words="--no-prompts --look-down --rate --json $stream" ;;
        run) words="--store --no-store --replace $stream" ;;
        watch) words="--tones --line --json" ;;
        tell) words="next wait compare export hold target band setup mark stop note rating --process" ;;
        replay) words="last --export --replace --store" ;;
        measure) words="--raw --rate --json $stream" ;;
        import)
            words="--rider --bike --sensor --carry --setup --build --free --guided --line --seconds --rate"
            words="$words --started --seed --script --store $stream"
            ;;
        list) words="$filter --json --store" ;;
        show) words="last $filter --json --limit --store" ;;
        drag) words="--mass --course --length --rise --indoors --air --air-at-end --wind --speed --laps --line --other-line --rolling --matters --json" ;;
        compare) words="last --against $filter --json --limit --store" ;;
        export) words="last --chosen --kind --paper --language --replace --limit --store" ;;
        practice) words="--health --ride --looked-at --plan --tones --store" ;;
        progress) words="--json --csv --health --replace --rider --since --store" ;;
        store) words="check backup merge rescue forget compact results --quick --json --yes --session --store" ;;
        plan)
            words="--difference --setups --minutes --sd --from --drag --quick --tie --change --ride-in --hold --rating --rest"
            words="$words --json --store"
            ;;
        place)
            words="--session --store --setup --from --at --to --to-setup --parts --limit --best --change-cost"
            words="$words --svg --replace --json --ascii --no-drawing"
            ;;
        esac
        words="$words --help"
        case $command in
        "" | live | rigs | listen | run | check | calibrate | plate) words="$words $(_holdline_rigs)" ;;
        esac
        case $command in
        live | listen | run | measure | import | export | place | store) mapfile -t COMPREPLY < <(compgen -f -- "$word") ;;
        esac
        ;;
    esac
    mapfile -t -O "${#COMPREPLY[@]}" COMPREPLY < <(compgen -W "$words" -- "$word")
    if [ -n "$cut" ]; then
        COMPREPLY=("${COMPREPLY[@]#"$cut"}")
    fi
}

complete -o filenames -F _holdline holdline
