// Stamp of pincheck 0.1.0, define style, wiring bb22af794216, lines ddefeba1c112, boards Heron 2 + Lapwing C, assembly Marsh 230 with Lapwing C
// Marsh 230 with Lapwing C: reference of tool head, bed and end stops in the define
// style.
// Boards: Heron 2, Lapwing C. Generated from the wiring, read back and checked without
// a finding.
// Put each line in the place of the one of its name: those of machine.h in the main
// header, those of machine_adv.h in its companion. A second line of one name does not
// build, and in another header it counts for nothing. Yours, and not here:
// DEFAULT_AXIS_STEPS_PER_UNIT, bed size and ends of the axes, NOZZLE_TO_PROBE_OFFSET,
// the figures of PID, speeds.
// Motor currents (RMS) belong to the driver's type, which the wiring does not state, or
// to its trimmer: extruder motor 0.8 A, x motor 1.2 A, y motor 1.2 A, z motor 1.2 A.
// What is marked "yours" is your own choice, within what the parts stand.
// Lines of yours that must go: FIX_MOUNTED_PROBE, PROBE_MANUALLY, NOZZLE_AS_PROBE,
// SENSORLESS_PROBING, Z_MIN_PROBE_USES_Z_MIN_ENDSTOP_PIN, FAN_SOFT_PWM, FAST_PWM_FAN.
// The pins header of Heron 2 is read after these and says something else: take out
// there FAN_PIN PB7, FAN0_PIN PB7.
// Agreement on paper is no proof. Power off and unplug before you measure or re-plug,
// and stay with the machine for its first heat.
#pragma once

// Thermal protection
#define THERMAL_PROTECTION_PERIOD 25         // yours: cut at 256 C at most if the sensor falls out at 210 C
#define THERMAL_PROTECTION_HYSTERESIS 4      // yours: so far below the target is no fault yet
#define THERMAL_PROTECTION_BED_PERIOD 20     // yours: cut at 68 C at most if the sensor falls out at 60 C
#define THERMAL_PROTECTION_BED_HYSTERESIS 2  // yours: so far below the target is no fault yet
#define WATCH_TEMP_PERIOD 20                 // yours: 40 W warm up faster than that
#define WATCH_TEMP_INCREASE 2                // yours: rise expected in the time to watch
#define WATCH_BED_TEMP_PERIOD 60             // yours: 200 W warm up faster than that
#define WATCH_BED_TEMP_INCREASE 2            // yours: rise expected in the time to watch

// Fans
#define E0_AUTO_FAN_PIN PB6                  // hot-end fan: PB6 leads to Lapwing C hotend_fan
#define EXTRUDER_AUTO_FAN_TEMPERATURE 50     // yours: filament softens in the cold end at 60 C
#define EXTRUDER_AUTO_FAN_SPEED 255          // yours: full speed
#define FAN_MIN_PWM 51                       // yours: 24 V 0.3 A blower stands still below it
#define FAN_KICKSTART_TIME 300               // yours: turns the fan from rest

// Motors
#define E0_STEP_PIN PB3                      // extruder motor: PB3 leads to Lapwing C extruder
#define E0_DIR_PIN PB4                       // direction, driver's pin
#define E0_ENABLE_PIN PB5                    // switches the driver on
#define X_STEP_PIN PA4                       // x motor: PA4 leads to Heron 2 motor_x
#define X_DIR_PIN PA5                        // direction, driver's pin
#define X_ENABLE_PIN PA6                     // switches the driver on
#define Y_STEP_PIN PA7                       // y motor: PA7 leads to Heron 2 motor_y
#define Y_DIR_PIN PB0                        // direction, driver's pin
#define Y_ENABLE_PIN PB2                     // switches the driver on
#define Z_STEP_PIN PB9                       // z motor: PB9 leads to Heron 2 motor_z
#define Z_DIR_PIN PB10                       // direction, driver's pin
#define Z_ENABLE_PIN PB12                    // switches the driver on
