#ifndef PLOVER_MAIN_H
#define PLOVER_MAIN_H
//===========================================================================
// Plover i3, old spelling
//===========================================================================
#define MAIN_VERSION 010109
#define SERIAL_PORT 0
#define BAUDRATE 115200
#ifndef MOTHERBOARD
  #define MOTHERBOARD BOARD_PLOVER_14_EFB
#endif
#define EXTRUDERS 1
#define TEMP_SENSOR_0 1
#define TEMP_SENSOR_1 0
#define TEMP_SENSOR_2 0
#define TEMP_SENSOR_BED 11//was 1
#define TEMP_SENSOR_CHAMBER 0

#define TEMP_RESIDENCY_TIME 10  // (seconds)
#define HEATER_0_MINTEMP 5
#define HEATER_1_MINTEMP 5
#define BED_MINTEMP 5
#define HEATER_0_MAXTEMP 260
#define HEATER_1_MAXTEMP 275
#define BED_MAXTEMP 120
#define PIDTEMP
#define BANG_MAX 255     // limits current to nozzle while in bang-bang mode; 255=full current
#define PID_MAX BANG_MAX // limits current to nozzle while PID is active
#if ENABLED(PIDTEMP)
  #define PID_FUNCTIONAL_RANGE 10
  // older kit values
  //#define DEFAULT_Kp 22.2
  #define DEFAULT_Kp 20.84
  #define DEFAULT_Ki 1.96
  #define DEFAULT_Kd 55.47
#endif // PIDTEMP
//#define PIDTEMPBED
#define MAX_BED_POWER 255
#define PREVENT_COLD_EXTRUSION
#define EXTRUDE_MINTEMP 170
#define PREVENT_LENGTHY_EXTRUDE
#define EXTRUDE_MAXLENGTH 200
#define THERMAL_PROTECTION_HOTENDS
#define THERMAL_PROTECTION_BED

#define USE_XMIN_PLUG
#define USE_YMIN_PLUG
#define USE_ZMIN_PLUG
#define ENDSTOPPULLUPS
#if DISABLED(ENDSTOPPULLUPS)
  //#define ENDSTOPPULLUP_XMAX
  //#define ENDSTOPPULLUP_XMIN
  //#define ENDSTOPPULLUP_ZMIN_PROBE
#endif
#define X_MIN_ENDSTOP_INVERTING true
#define Y_MIN_ENDSTOP_INVERTING true
#define Z_MIN_ENDSTOP_INVERTING false
#define X_MAX_ENDSTOP_INVERTING false
#define Y_MAX_ENDSTOP_INVERTING false
#define Z_MAX_ENDSTOP_INVERTING false
#define Z_MIN_PROBE_ENDSTOP_INVERTING false

#define X_DRIVER_TYPE  A4988
#define E0_DRIVER_TYPE A4988

#define Z_MIN_PROBE_USES_Z_MIN_ENDSTOP_PIN
//#define Z_MIN_PROBE_ENDSTOP
//#define PROBE_MANUALLY
#define FIX_MOUNTED_PROBE
//#define BLTOUCH
#if ENABLED(BLTOUCH)
  //#define BLTOUCH_DELAY 375
#endif
#define X_PROBE_OFFSET_FROM_EXTRUDER 10
#define X_ENABLE_ON 0
#define INVERT_X_DIR false
#define INVERT_X_STEP_PIN false
#define X_HOME_DIR -1
#define Y_HOME_DIR -1
#define Z_HOME_DIR -1
#define X_BED_SIZE 200
#define Y_BED_SIZE 200
#define X_MIN_POS 0
#define X_MAX_POS X_BED_SIZE
//#define FILAMENT_RUNOUT_SENSOR
#if ENABLED(FILAMENT_RUNOUT_SENSOR)
  #define FIL_RUNOUT_INVERTING false
  #define FIL_RUNOUT_PULLUP
#endif
#define FAN_SOFT_PWM_OFF
#define SOFT_PWM_SCALE 0
//#define FAST_PWM_FAN
//#define FAN_SOFT_PWM
#define NUM_SERVOS 0
#endif // PLOVER_MAIN_H
